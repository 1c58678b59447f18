"""The Tray's road to the store: any order, both ways, from any place, gives the list that a plain read gives."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest

from tests.screens import pieces
from watchlist.core.sift import line as sift
from watchlist.core.sift.filter import Filter
from watchlist.core.sift.line import WAITING
from watchlist.desk.lists import roll as rolls
from watchlist.desk.lists.roll import Roll
from watchlist.shelf.shelf import Shelf
from watchlist.shelf.store import Store, search
from watchlist.shelf.store.filters import Order, Place

ORDERS: tuple[Order, ...] = ("closing", "title", "gap", "all_in", "mark")
COUNT = 300


@pytest.fixture(scope="module")
def store(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Store]:
    path: Path = pieces.shelf(tmp_path_factory.mktemp("roll") / "shelf", COUNT)
    with Shelf.open(path, write=False) as opened:
        yield opened.store


def plain(store: Store, order: Order, down: bool) -> list[str]:
    wanted = Filter(states=WAITING, open_at=pieces.NOW)
    return [line.key for line in store.listing.each(wanted, order, down=down)]


def held(roll: Roll) -> list[str]:
    return [line.key for at in range(roll.low, roll.high) if (line := roll.line(at))]


def whole(roll: Roll) -> list[str]:
    roll.reach(roll.high + 2 * COUNT)
    roll.reach(roll.low - 2 * COUNT)
    return held(roll)


@pytest.mark.parametrize("order", ORDERS)
@pytest.mark.parametrize("down", [False, True])
def test_from_the_first_and_from_the_last_line(store: Store, order: Order, down: bool) -> None:
    wanted = plain(store, order, down)
    roll = Roll(store, sift.parse(""), pieces.NOW, order, down=down)
    assert whole(roll) == wanted
    roll.to_last()
    last = roll.line(-1)
    assert last is not None
    assert last.key == wanted[-1]
    assert whole(roll) == wanted


@pytest.mark.parametrize("order", ORDERS)
@pytest.mark.parametrize("down", [False, True])
@pytest.mark.parametrize("at", [0, 70, 199, 240, 299])
def test_from_any_line_both_ways(store: Store, order: Order, down: bool, at: int) -> None:
    wanted = plain(store, order, down)
    roll = Roll(store, sift.parse(""), pieces.NOW, order, down=down)
    roll.reach(at)
    line = roll.line(at)
    assert line is not None
    start = Place(line.place.values, line.place.id + (1 if down else -1))
    again = Roll(store, sift.parse(""), pieces.NOW, order, down=down, start=start)
    again.reach(0)
    assert again.line(0) == line
    assert whole(again) == wanted


@pytest.mark.parametrize(
    "text", ["toned", "mark:b", "tor not toned", "gap<-10 all-in<320", "venue:lind seller:an", "zzz"]
)
def test_a_sift_gives_what_testing_each_line_gives(store: Store, text: str) -> None:
    asked = sift.parse(text)
    every = store.listing.each(Filter(states=WAITING, open_at=pieces.NOW))
    wanted = [line.key for line in every if asked.at(pieces.NOW).test(line)]
    assert whole(Roll(store, asked, pieces.NOW)) == wanted


def test_only_lines_near_the_cursor_stay_in_memory(store: Store, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(rolls, "HELD", 128)
    wanted = plain(store, "closing", down=False)
    roll = Roll(store, sift.parse(""), pieces.NOW)
    for at in (*range(0, COUNT, 7), *range(COUNT - 1, -1, -11)):
        roll.reach(at)
        line = roll.line(at)
        assert line is not None
        assert line.key == wanted[at]
        assert roll.high - roll.low <= 128 + 2 * rolls.PAGE


def test_a_long_search_gives_the_screen_its_turn(store: Store, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(rolls, "MOST", 20)
    monkeypatch.setattr(search, "FEW", 0)  # nothing is rare enough to be looked up first
    for order in ORDERS:
        roll = Roll(store, sift.parse("zzz"), pieces.NOW, order)
        turns = 0
        while not roll.reach(0):
            turns += 1
        assert turns > 1
        assert roll.known == 0


@pytest.mark.parametrize("order", ORDERS)
@pytest.mark.parametrize("down", [False, True])
@pytest.mark.parametrize("text", ["", "tor not toned", "gap<-10", "mark:b venue:lind"])
def test_short_goes_join_to_the_whole(
    store: Store, order: Order, down: bool, text: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    asked = sift.parse(text)
    wanted = whole(Roll(store, asked, pieces.NOW, order, down=down))
    monkeypatch.setattr(rolls, "MOST", 7)
    monkeypatch.setattr(search, "FEW", 0)
    roll = Roll(store, asked, pieces.NOW, order, down=down)
    while not roll.reach(2 * COUNT):
        pass
    assert held(roll) == wanted
    roll.to_last()
    while not roll.reach(-2 * COUNT):
        pass
    assert held(roll) == wanted


def test_a_lot_whose_state_changed_is_patched_or_taken_out(store: Store) -> None:
    roll = Roll(store, sift.parse(""), pieces.NOW)
    before = whole(roll)
    lines = [line for at in (3, 5) if (line := roll.line(at))]
    moved = roll.follow(
        {
            lines[0].key: replace(lines[0], state="skipped"),
            lines[1].key: replace(lines[1], state="followed"),
        }
    )
    assert [(each.at, each.gone) for each in moved] == [(3, True), (5, False)]
    assert held(roll) == [key for key in before if key != lines[0].key]
    followed = roll.line(4)
    assert followed is not None
    assert followed.state == "followed"
    assert not roll.admits(moved[0].after)
    assert roll.admits(moved[1].after)
