"""Last days in words: quiet while there is time, loud on the last day and after it."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date

from watchlist.core.held.deadlines import Deadline
from watchlist.page.dates import short_day

WHAT: Mapping[str, str] = {
    "pay": "pay",
    "arrive": "paid, not arrived: expected",
    "return": "return what is not as described",
    "report": "report a piece that is not genuine",
}
"""What has to be done by a last day."""


def last_day(last: Deadline, today: date) -> str:
    """`Pay by Thu 12 Mar (9 days left)`, `LAST DAY TODAY: return ..`, `Overdue since ..`."""
    what, left, day = WHAT[last.kind], last.left(today), f"{last.day:%a} {short_day(last.day, today)}"
    if left == 0:
        return (
            f"LAST DAY TODAY, {day}: {what}" if last.kind != "arrive" else f"Paid, not arrived: expected today, {day}"
        )
    if left < 0:
        return f"{what[:1].upper()}{what[1:]}: the last day was {day}"
    return f"{what[:1].upper()}{what[1:]} by {day} ({'1 day' if left == 1 else f'{left} days'} left)"


SHORT: Mapping[str, str] = {"pay": "pay", "arrive": "expected", "return": "return", "report": "report"}


def in_short(last: Deadline, today: date) -> str:
    """`pay by Thu 12 Mar`, `LAST DAY: return`, `pay: was due 12 Mar`: for a cell."""
    what, left, day = SHORT[last.kind], last.left(today), short_day(last.day, today)
    if left == 0:
        return f"LAST DAY: {what}" if last.kind != "arrive" else "expected today"
    return f"{what} by {last.day:%a} {day}" if left > 0 else f"{what}: was due {day}"
