"""Wins of long ago of which nothing was said: told in the morning, kept in one entry."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest

from tests.desk.pieces import NOW, come, row
from watchlist.desk import undoing
from watchlist.desk.desk import Desk
from watchlist.desk.errors import DeskError, TooMuch
from watchlist.desk.held import arrivals, pieces, unspoken
from watchlist.desk.in_hand import courses
from watchlist.desk.in_hand.committed import season
from watchlist.desk.morning import morning
from watchlist.desk.results.results import result

SAID = (
    "2 wins of before 26 Sep 2026 still count as owed, for nothing was said since: `watchlist piece all kept --before "
    "2026-09-26` says that they are paid and kept"
)


def owed(desk: Desk) -> int:
    return int(sum(held.owed for held in season(desk)))


@pytest.fixture
def old(desk: Desk) -> Desk:
    """Five wins at 100, 120 with fees: two of August and one of this week unspoken, one kept, one invoiced."""
    venues = desk.shelf.notebook.venues
    venues.put(*(replace(terms, ships_together="no") for terms in venues.list()))
    desk.forget()
    august = NOW - timedelta(days=100)
    desk.now = august
    coins = ("1 tor 1889 VF", "5 tor 1893-V VF-30", "1 tor 1889 XF", "1 tor 1889 F", "1 tor 1889 VG")
    come(desk, *(row(str(n), f"Orvany {coin}", price="20", hours=-2401) for n, coin in enumerate(coins, 1)))
    for n in range(1, 5):
        result(desk, f"north:{n}", "100", won=True)
    pieces.say(desk, "north:3", pieces.Said("kept"))
    arrivals.say(desk, "P4", arrivals.Said("invoiced", "120"))
    desk.now = NOW
    result(desk, "north:5", "100", won=True, on=str(NOW.date()))
    return desk


def test_the_morning_says_it_once_with_the_command(old: Desk) -> None:
    found = [said for said in morning.morning(old).stale if "owed" in said]
    assert found == [SAID]


def test_all_of_them_are_kept_in_one_entry_and_undone_as_one(old: Desk) -> None:
    assert owed(old) == 4 * 120, "the invoice and three wins"
    done = unspoken.keep(old, "2026-09-26")
    assert done.said == "2 wins of before 26 Sep 2026: kept, so counted as paid"
    assert done.keys == ("north:1", "north:2")
    assert owed(old) == 2 * 120, "what is invoiced is owed, and so is the win of this week"
    assert not unspoken.told(old)
    with pytest.raises(DeskError, match="No win before that day"):
        unspoken.keep(old, "2026-09-26")
    assert undoing.undo(old).said.startswith("Undone: kept on 2 lots (1, 2)")
    assert owed(old) == 4 * 120
    assert unspoken.told(old) == SAID


def test_the_day_itself_is_not_before_it(old: Desk) -> None:
    with pytest.raises(DeskError, match="No win before that day"):
        unspoken.keep(old, "2026-08-17")
    assert len(unspoken.keep(old, "2026-08-18").keys) == 2


def test_a_day_before_one_was_won_is_refused(old: Desk) -> None:
    with pytest.raises(DeskError, match=r"One of them was won on 17 Aug 2026, after 1 Aug 2026\. Nothing was written"):
        unspoken.keep(old, "2026-09-26", on="2026-08-01")
    with pytest.raises(DeskError, match="still to come"):
        unspoken.keep(old, "2027-09-26")


def test_pieces_in_doubt_are_asked_about_first(old: Desk, monkeypatch: pytest.MonkeyPatch) -> None:
    known = courses.wins

    def doubtful(desk: Desk, keys: set[str]) -> list[object]:
        return [replace(w, judged=replace(w.judged, mark="doubt") if w.judged else None) for w in known(desk, keys)]

    monkeypatch.setattr(courses, "wins", doubtful)
    with pytest.raises(TooMuch, match=r"S-001, S-002 are marked Doubt and were not checked\. Nothing was written"):
        unspoken.keep(old, "2026-09-26")
    assert len(unspoken.keep(old, "2026-09-26", anyway=True).keys) == 2
