"""Dates in a calendar: alarms at both changes of the clocks, names that stay, changes that count up.

parcel_examples.jsonl: check values of the design of purchases, each worked twice; here its kinds `alarm` and `return
window`.
"""

from __future__ import annotations

import json
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

from hypothesis import given
from hypothesis import strategies as st
from icalendar import Calendar

from watchlist.core.calendar.days import ends, evening_before, last_day
from watchlist.core.calendar.entries import told, uid, updated
from watchlist.core.calendar.record import Dated, Kept
from watchlist.page import ics

BERLIN = ZoneInfo("Europe/Berlin")
NOW = datetime(2026, 3, 1, 9, 0, tzinfo=UTC)
TODAY = NOW.date()
AHEAD = timedelta(days=60)
CASES = [
    json.loads(line)
    for line in (Path(__file__).parents[1] / "data" / "parcel_examples.jsonl").read_text("utf-8").splitlines()
]


def cases(kind: str) -> list[dict[str, Any]]:
    found = [case for case in CASES if case["kind"] == kind]
    assert found
    return found


def close(key: str, day: int, *, hour: int | None = 14, month: int = 3) -> Dated:
    at = datetime(2026, month, day, hour, tzinfo=UTC) if hour is not None else None
    return Dated("close", key, f"Closes: {key}", date(2026, month, day), at)


def test_whole_days_ring_the_evening_before_across_both_changes_of_the_clocks() -> None:
    for case in cases("alarm"):
        for row in case["expect"]:
            alarm = evening_before(date.fromisoformat(row["day"]), ZoneInfo(case["zone"]))
            assert f"{alarm:%Y%m%dT%H%M%SZ}" == row["alarm_utc"]


def test_a_right_of_so_many_days_ends_where_the_day_ends_first() -> None:
    for case in cases("return window"):
        for row in case["expect"]:
            day = last_day(date.fromisoformat(row["arrived"]), row["return_days"])
            assert day.isoformat() == row["last_day"]
            over = ends(day, ZoneInfo(case["zone"]), ZoneInfo(row["venue_zone"]))
            assert over.isoformat() == row["ends_utc"]


def test_the_file_is_read_back_as_it_was_meant() -> None:
    """By the library; hours on either side of both changes of the year, in UTC, and whole days on them."""
    hours = [datetime(2026, m, d, h, tzinfo=UTC) for m, d in ((3, 28), (3, 29), (10, 24), (10, 25)) for h in (0, 1, 13)]
    whole = [date(2026, 3, 29), date(2026, 3, 30), date(2026, 10, 25), date(2026, 10, 26)]
    dates = [Dated("close", f"n:{at}", "Closes: ä, b; c\\d", at.astimezone(BERLIN).date(), at) for at in hours]
    dates += [Dated("pay", f"P{day}", "Pay Lindmoor Auctions", day) for day in whole]
    dates.append(Dated("own", "x", "no sure hour", date(2026, 3, 29), rings=False, note="the clocks skip it"))
    kept = updated(Kept("shelf"), dates, NOW, TODAY, timedelta(days=365))
    body = ics.calendar(told(kept, NOW, TODAY), "shelf", BERLIN)
    assert ics.calendar(told(kept, NOW, TODAY), "shelf", BERLIN) == body
    assert ics.shelf_of(body.decode()) == "shelf"
    read: dict[str, Any] = {str(event["UID"]): event for event in Calendar.from_ical(body).walk("VEVENT")}
    assert len(read) == len(dates)
    for each in dates:
        event = read[uid("shelf", each)]
        assert event["DTSTART"].dt == (each.at or each.day)
        assert str(event["SUMMARY"]) == each.what
        assert not {"LOCATION", "GEO"} & set(event)
        alarms = [alarm["TRIGGER"].dt for alarm in event.walk("VALARM")]
        if each.at:
            assert [each.at + alarm for alarm in alarms] == [
                each.at - timedelta(hours=2),
                each.at - timedelta(minutes=15),
            ]
        else:
            assert alarms == ([evening_before(each.day, BERLIN)] if each.rings else [])
    evening = next(line for line in body.decode().splitlines() if line.startswith("TRIGGER;"))
    assert evening.startswith("TRIGGER;VALUE=DATE-TIME:20260328T1"), "without VALUE it would be a length of time"


def test_names_stay_and_changes_count_up() -> None:
    first = updated(Kept("s"), [close("a", 10), close("b", 11), close("far", 30, month=6)], NOW, TODAY, AHEAD)
    assert [(e.event.key, e.sequence) for e in first.entries] == [("a", 0), ("b", 0)]
    same = updated(first, [close("a", 10), close("b", 11)], NOW + timedelta(hours=1), TODAY, AHEAD)
    assert same == first, "nothing changed, nothing is stamped anew"
    moved = updated(same, [close("a", 12), close("b", 11)], NOW, TODAY, timedelta(days=1))
    assert {e.event.key: (e.sequence, e.event.day.day) for e in moved.entries} == {"a": (1, 12), "b": (0, 11)}
    assert {e.uid for e in moved.entries} == {e.uid for e in first.entries}
    gone = updated(moved, [close("a", 12)], NOW, TODAY, AHEAD)
    assert {e.event.key: (e.sequence, e.gone) for e in gone.entries} == {"a": (1, None), "b": (1, TODAY)}
    body = ics.calendar(told(gone, NOW, TODAY), "s", BERLIN)
    stands = {
        str(e["SUMMARY"]): (str(e["STATUS"]), len(e.walk("VALARM"))) for e in Calendar.from_ical(body).walk("VEVENT")
    }
    assert stands == {"Closes: a": ("CONFIRMED", 2), "Closes: b": ("CANCELLED", 0)}
    month = timedelta(days=30)
    assert len(told(gone, NOW, TODAY + month)) == 2
    late = NOW + month + timedelta(days=1)
    assert told(gone, late, late.date()) == []
    back = updated(gone, [close("a", 12), close("b", 20)], NOW, TODAY, AHEAD)
    assert {e.event.key: (e.sequence, e.gone) for e in back.entries} == {"a": (1, None), "b": (2, None)}


def test_what_has_passed_is_not_cancelled() -> None:
    kept = updated(Kept("s"), [close("a", 2), close("b", 2, hour=None)], NOW, TODAY, AHEAD)
    later = NOW + timedelta(days=3)
    after = updated(kept, [], later, later.date(), AHEAD)
    assert [(e.sequence, e.gone) for e in after.entries] == [(0, None)] * 2
    assert told(after, later, later.date()) == []
    far = later + timedelta(days=800)
    assert updated(after, [], far, far.date(), AHEAD).entries == ()


DATES = st.dictionaries(st.sampled_from("abcd"), st.integers(2, 28), max_size=4)


@given(st.lists(DATES, max_size=6))
def test_over_any_history_sequences_only_grow_and_the_file_says_what_is_there(history: list[dict[str, int]]) -> None:
    kept, seen = Kept("s"), dict[str, int]()
    for there in history:
        kept = updated(kept, [close(key, day) for key, day in there.items()], NOW, TODAY, AHEAD)
        for entry in kept.entries:
            assert entry.sequence >= seen.get(entry.uid, 0)
            seen[entry.uid] = entry.sequence
        standing = {e.event.key: e.event.day.day for e in told(kept, NOW, TODAY) if e.gone is None}
        assert standing == there
