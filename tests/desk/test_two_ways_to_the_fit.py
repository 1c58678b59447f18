"""Prices made ready from their cells are those that their records give, whatever a band means and whoever bought."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

import pytest

from watchlist.desk.desk import Desk
from watchlist.desk.prices import fitting
from watchlist.desk.results import results
from watchlist.shelf.shelf import Shelf

NOW = datetime(2026, 3, 3, 6, 30, tzinfo=UTC)


@pytest.mark.parametrize("own", [True, False])
def test_cells_and_records_give_equal_sales(sample_shelf: Path, own: bool) -> None:
    settings = sample_shelf / "settings.toml"
    text = settings.read_text("utf-8")
    settings.write_text(text.replace("[prices]", f"[prices]\nown = {str(own).lower()}") if "[prices]" in text else
                        f"{text}\n[prices]\nown = {str(own).lower()}\n", "utf-8")  # fmt: skip
    with Shelf.open(sample_shelf, write=True) as shelf:
        desk = Desk(shelf, NOW)
        results.result(desk, "LM-101", "90", won=True)
        for kind in ("before postage", "all-in", "hammer"):
            desk.__dict__["kind"] = kind
            quick, quick_aside = fitting.all_sales(desk)
            plain, plain_aside = fitting.sales_of(desk, shelf.store.prices.each())
            assert {sale.id: sale for sale in quick} == {sale.id: sale for sale in plain}
            assert {each.price.id: each.reason for each in quick_aside} == {
                each.price.id: each.reason for each in plain_aside
            }
        assert any("own purchase" in each.reason for each in quick_aside) is not own
