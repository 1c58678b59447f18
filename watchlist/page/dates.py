"""Dates in print: one readable line each."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, tzinfo

from watchlist.core.calendar.record import Dated
from watchlist.page.columns import wrap

KINDS = {
    "close": "lot closes",
    "place": "place the bid",
    "pay": "pay",
    "arrive": "arrives",
    "return": "last day to return",
    "report": "report",
    "own": "own note",
}
"""What a kind is called."""


def day_words(day: date) -> str:
    """`Tue 3 Mar`."""
    return f"{day:%a} {day.day} {day:%b}"


FAR = 300
"""Days after which a day is named with its year: it might be taken for one of this year."""


def day_ahead(day: date, today: date) -> str:
    """`Tue 3 Mar`; `27 Feb 2027` where that is far ahead."""
    return day_words(day) if (day - today).days < FAR else in_full(day)


def in_full(day: date) -> str:
    """`3 Mar 2026`."""
    return f"{day.day} {day:%b %Y}"


def short_day(day: date, today: date) -> str:
    """`3 Mar`; with its year where that is another."""
    return f"{day.day} {day:%b}" if day.year == today.year else in_full(day)


def hour_words(date: Dated, home: tzinfo) -> str:
    """`14:02` by the person's own clock; empty for a whole day."""
    return f"{date.at.astimezone(home):%H:%M}" if date.at else ""


def in_days(day: date, today: date) -> str:
    """`today`, `tomorrow`, `in 5 days`."""
    ahead = (day - today).days
    return {0: "today", 1: "tomorrow"}.get(ahead, f"in {ahead} days")


def lines(dates: Sequence[Dated], home: tzinfo, today: date, width: int) -> list[str]:
    """A line a date; the day stands once."""
    text: list[str] = []
    before = None
    for each in dates:
        head = f"{'' if each.day == before else day_ahead(each.day, today):<11}  {hour_words(each, home):<5}  "
        blank = " " * len(head)
        first, *rest = wrap(f"{blank}{each.what}", width, indent=blank)
        text += [head + first[len(head) :], *rest]
        before = each.day
    return text
