"""The Guide: a series at a time, its orders, the way to an issue's prices, and the file."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal
from pathlib import Path

import pytest

from tests.screens.conftest import Open
from tests.screens.pieces import NOW, heard, seen, settled, shelf
from watchlist.core.coins.issue import Issue
from watchlist.core.money.amount import Money
from watchlist.core.prices.realised import PriceRealised
from watchlist.desk.desk import Desk
from watchlist.desk.prices.fitting import refit
from watchlist.page.columns import cells
from watchlist.shelf.shelf import Shelf

FIRST = Issue("o-1891", "Orvany", "5 tor", 1891, mintage=90_000)
SCARCE = replace(FIRST, key="o-1893", year=1893, mintage=4_000)
OTHER = Issue("o-lind", "Orvany", "10 lind", 1880)


@pytest.fixture
def guided(tmp_path: Path) -> Path:
    """Two series: one with prices of two issues, one without any."""
    path = shelf(tmp_path / "shelf", 1)
    with Shelf.open(path, write=True, today=NOW.date) as opened:
        opened.store.catalogue.merge([FIRST, SCARCE, OTHER])
        opened.store.prices.add(
            PriceRealised(
                0, issue.key, date(2026, 11, 1) - timedelta(days=9 * n), Money(Decimal(50 * times + n), "EUR"),
                "hammer", 30 + n % 2 * 10, 30 + n % 2 * 10, origin=f"p:{issue.key}{n}", venue="Vessick",
            )
            for issue, times in ((FIRST, 1), (SCARCE, 6))
            for n in range(12)
        )  # fmt: skip
        refit(Desk(opened, NOW))
    return path


@pytest.mark.parametrize("size", [(60, 16), (80, 24), (160, 50)])
async def test_a_series_fits_and_turns_its_order(guided: Path, open_on: Open, size: tuple[int, int]) -> None:
    app = open_on(guided)
    async with app.run_test(size=size) as pilot:
        await pilot.press("0")
        await settled(pilot)
        lines = seen(app)
        assert all(cells(line) <= size[0] for line in lines)
        assert lines[0].startswith("Guide   Orvany 5 tor")
        assert "XF-40 raw" in lines[1]
        assert [line.split()[0] for line in lines[2:4]] == ["1891", "1893"]
        await pilot.press("s")
        await settled(pilot)
        assert [line.split()[0] for line in seen(app)[2:4]] == ["1893", "1891"], "the fewest struck first"
        assert "4,000" in "\n".join(seen(app)) or size[0] == 60
        await pilot.press("enter")
        await settled(pilot)
        assert "1893" in seen(app)[0], "its prices"


async def test_another_series_says_why_it_has_no_guide_and_the_first_is_written_to_a_file(
    guided: Path, open_on: Open, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    app = open_on(guided)
    async with app.run_test(size=(100, 24)) as pilot:
        await pilot.press("0", "n")
        await settled(pilot)
        assert any("No price realised of Orvany 10 lind counts" in line for line in seen(app))
        await pilot.press("w")
        assert "no guide to write" in await heard(app, "no guide")
        await pilot.press("N")
        await settled(pilot)
        file = tmp_path / "orvany-5-tor.html"
        for answer in ("", "y"):
            await pilot.press("w", "enter", *answer)
            await settled(pilot)
            assert file.read_text("utf-8").startswith("<!doctype html>")
            file.write_text("mine", "utf-8")
        await pilot.press("w", "enter", "n")
        await settled(pilot)
        assert file.read_text("utf-8") == "mine", "nothing is written over unasked"
