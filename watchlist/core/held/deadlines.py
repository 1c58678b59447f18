"""The last days of a parcel: to pay, to expect it, to return a piece, to report one."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Literal

from watchlist.core.calendar.days import last_day
from watchlist.core.fees.terms import Terms
from watchlist.core.held.course import ParcelCourse

EXPECTED = 21
"""Days after the payment in which a parcel usually comes, where the person names none (common practice)."""
UNDECIDED = frozenset({"won", "checked", "disputed"})
"""What a piece is while it may still go back."""


@dataclass(frozen=True, slots=True)
class Deadline:
    """One last day."""

    kind: Literal["pay", "arrive", "return", "report"]
    parcel: str
    day: date

    def left(self, today: date) -> int:
        """Days left; 0 on the last day, below it when it has passed."""
        return (self.day - today).days


def deadlines(
    course: ParcelCourse, terms: Terms | None, *, expected: int = EXPECTED, waits: bool = True
) -> Iterator[Deadline]:
    """The days that still matter of a parcel: a step that is done has none. `waits`: a piece may still go back."""
    if course.owed is not None and (due := pay_by(course, terms)) is not None:
        yield Deadline("pay", course.id, due)
    if course.arrived is None and course.paid_on is not None and course.owed is None:
        yield Deadline("arrive", course.id, course.paid_on + timedelta(days=expected))
    if course.arrived is not None and terms is not None and waits:
        if terms.return_days is not None:
            yield Deadline("return", course.id, last_day(course.arrived, terms.return_days))
        if terms.guarantee_days is not None:
            yield Deadline("report", course.id, last_day(course.arrived, terms.guarantee_days))


def pay_by(course: ParcelCourse, terms: Terms | None) -> date | None:
    """The day by which to pay: as the invoice says, else by the venue's terms."""
    if course.due is not None or course.invoiced_on is None or terms is None or terms.pay_days is None:
        return course.due
    return course.invoiced_on + timedelta(days=terms.pay_days)
