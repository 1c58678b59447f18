"""Imports of files beyond all measure, and imports that are stopped: nothing is half-written."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest

from watchlist.core.imports import ImportRefused
from watchlist.desk import importing
from watchlist.desk.desk import Desk
from watchlist.desk.importing import import_file
from watchlist.shelf import Shelf

HEAD = b"sale_date,denomination,year,mint,country,grade,hammer,currency\n"
ROW = b"2025-03-12,5 tor,1893,V,Orvany,VF,%d.00,EUR\n"


def rows(many: int) -> bytes:
    return HEAD + b"".join(ROW % (50 + number) for number in range(many))


@pytest.fixture
def desk(tmp_path: Path) -> Iterator[Desk]:
    with Shelf.open(tmp_path / "shelf", write=True) as opened:
        yield Desk(opened, datetime(2026, 3, 1, tzinfo=UTC))


def test_a_file_with_too_many_rows_is_one_sentence(desk: Desk, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(importing, "MOST_ROWS", 200)
    assert import_file(desk, "prices", rows(200), "sales.csv", dry_run=True).rows == 200
    with pytest.raises(ImportRefused, match=r"^sales.csv has more than 200 rows; nothing of it was taken; split it\.$"):
        import_file(desk, "prices", rows(400), "sales.csv")
    with pytest.raises(ImportRefused, match="more than 200 rows"):
        import_file(desk, "prices", b"\r" * 400, "sales.csv")
    assert desk.shelf.store.prices.count() == 0


def test_a_file_that_is_too_large_is_one_sentence(desk: Desk, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(importing, "MOST_BYTES", 1_000_000)
    with pytest.raises(ImportRefused, match=r"^sales.csv is larger than 1 MB; nothing of it was taken; split it\.$"):
        import_file(desk, "prices", HEAD + b"x" * 1_000_000, "sales.csv")


def test_an_import_says_how_far_it_is_and_can_be_stopped(desk: Desk) -> None:
    told: list[tuple[str, float]] = []

    def step(what: str, share: float) -> bool:
        told.append((what, share))
        return len(told) < 3

    desk.go_on = step
    with pytest.raises(ImportRefused, match=r"^Stopped at line 4,002; nothing was taken\.$"):
        import_file(desk, "prices", rows(5_000), "sales.csv")
    assert told == [("reading rows", 0.0), ("reading rows", 0.4), ("reading rows", 0.8)]
    assert (desk.shelf.store.prices.count(), desk.shelf.store.catalogue.issues()) == (0, [])


def test_ctrl_c_while_it_is_kept_leaves_nothing_of_it(desk: Desk, monkeypatch: pytest.MonkeyPatch) -> None:
    def stopped(*_: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(importing, "_known_sales", stopped)
    with pytest.raises(KeyboardInterrupt):
        import_file(desk, "prices", rows(20), "sales.csv")
    assert (desk.shelf.store.prices.count(), desk.shelf.store.catalogue.issues()) == (0, [])
