"""Lots of one title under new ids: each old key is taken once, and only by a lot whose old id is gone."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

import pytest

from watchlist.core.lots.source import Source
from watchlist.desk.desk import Desk
from watchlist.desk.gather.intake import Found, read_body, take
from watchlist.feeds.answers import Fetched
from watchlist.shelf.shelf import Shelf

SOURCE = Source("north", "https://north.example/lots.csv")


def taken(desk: Desk, *ids: str) -> set[str]:
    rows = "".join(f"{id},Orvany 5 tor 1893-V VF,80,EUR\n" for id in ids)
    body = Fetched(200, f"id,title,price,currency\n{rows}".encode(), "text/csv")
    take(desk, SOURCE, read_body(SOURCE, body, ()), Found())
    return desk.shelf.store.lots.known([f"north:{n}" for n in range(100)])


def days(path: Path, *lists: tuple[str, ...]) -> set[str]:
    kept: set[str] = set()
    for number, ids in enumerate(lists):
        with Shelf.open(path / "shelf", write=True) as opened:
            kept = taken(Desk(opened, datetime(2026, 3, 1 + number, tzinfo=UTC)), *ids)
    return {key.removeprefix("north:") for key in kept}


@pytest.mark.parametrize(
    ("lists", "kept"),
    [
        ((("1",), ("2",)), {"1"}),
        ((("1",), ("1", "2")), {"1", "2"}),
        ((("1",), ("2", "3")), {"1", "3"}),
        ((("1", "2"), ("3",)), {"1", "2", "3"}),
        ((("1", "2"), ("2", "3")), {"1", "2"}),
        ((("1", "2"), ("1", "2")), {"1", "2"}),
        ((("1",), ("2",), ("3",)), {"1"}),
        ((("1", "2", "3"), ("4", "2", "3")), {"1", "2", "3"}),
    ],
)
def test_lots_of_one_title(tmp_path: Path, lists: tuple[tuple[str, ...], ...], kept: set[str]) -> None:
    assert days(tmp_path, *lists) == kept


@pytest.mark.parametrize(
    ("first", "second", "same"),
    [
        ("80,anna", "90,anna", True),
        ("80,", "80,", True),
        ("80,", "90,", False),
        ("80,anna", "80,bert", False),
    ],
)
def test_a_title_alone_makes_no_lot_the_one_before(tmp_path: Path, first: str, second: str, same: bool) -> None:
    for day, (id, cells) in enumerate((("1", first), ("2", second))):
        body = f"id,title,price,seller,currency\n{id},Orvany 5 tor 1893-V VF,{cells},EUR\n".encode()
        with Shelf.open(tmp_path / "shelf", write=True) as opened:
            desk = Desk(opened, datetime(2026, 3, 1 + day, tzinfo=UTC))
            take(desk, SOURCE, read_body(SOURCE, Fetched(200, body, "text/csv"), ()), Found())
            assert opened.store.lots.known(["north:2"]) == (set() if same or day == 0 else {"north:2"})
