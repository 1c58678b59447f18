"""Which day a text means: a date, a weekday, "tomorrow"; the order of day and month is never guessed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from dateutil.relativedelta import relativedelta

from watchlist.core.times.parts import ClockFound, DateFound, day_of

NO_DAY = "no day in the text"
NEAR = 2
"""Years from today within which a year of two figures is believed."""


@dataclass(frozen=True, slots=True)
class DayMeant:
    """The day that a text means; None with the reason in the note."""

    day: date | None
    note: str = ""
    ambiguous: bool = False


def day_meant(
    dates: Sequence[DateFound],
    weekdays: Sequence[int],
    relative: Sequence[int],
    clock: ClockFound | None,
    here: datetime,
    order: str | None,
) -> DayMeant:
    """The day meant by the first date, else the first "tomorrow", else the first weekday of a text.

    `here` is now by the clocks of the zone; `order` the source's order of day and month.
    """
    weekday = weekdays[0] if weekdays else None
    if dates:
        return _dated(dates[0], weekday, here.date(), order)
    if relative:
        day = here.date() + timedelta(days=relative[0])
        return DayMeant(day) if weekday in (None, day.weekday()) else _no_day("the weekday does not agree with the day")
    if weekday is None or clock is None:
        return _no_day(NO_DAY if clock else "no time given")
    passed = (clock.hour, clock.minute, clock.second) < (here.hour, here.minute, here.second)
    coming = here.date() + timedelta(days=passed) + relativedelta(weekday=weekday)  # the first such day from there on
    return DayMeant(coming, "the coming day of that name", True)


def _dated(found: DateFound, weekday: int | None, today: date, wanted: str | None) -> DayMeant:
    if found.short and found.year is not None and abs(found.year - today.year) > NEAR:
        return _no_day("a year of two figures that is not near")
    choices = _choices(found, today)
    fitting = [(order, day) for order, day in choices if weekday in (None, day.weekday())]
    if not fitting:
        return _no_day("the weekday does not agree with the date" if choices else "no such day in the calendar")
    if found.year is None:
        nearest = min((day for _, day in fitting), key=lambda day: abs(day - today))
        return DayMeant(nearest, "no year: the nearest taken", True)
    if len(fitting) > 1:
        return _by_order(fitting, wanted)
    order, day = fitting[0]
    note = "a year of two figures" if found.short else ""
    if {wanted, order} == {"dmy", "mdy"} and weekday is None:
        note = f"read as {order}, against the source's {wanted}: no other day is possible"
    return DayMeant(day, note, bool(note))


def _choices(found: DateFound, today: date) -> list[tuple[str, date]]:
    """The days of the calendar that a date can mean, with the order read; without a year, of three years."""
    years = (found.year,) if found.year is not None else (today.year - 1, today.year, today.year + 1)
    return [(order, day) for order, m, d in found.days for year in years if (day := day_of(year, m, d)) is not None]


def _by_order(fitting: Sequence[tuple[str, date]], order: str | None) -> DayMeant:
    day = dict(fitting).get(order or "")
    if day is None:
        return _no_day(
            "day and month can stand either way: `watchlist source edit NAME --date-order dmy` (or mdy) says which"
        )
    return DayMeant(day, f"day and month taken as {order}", True)


def _no_day(why: str) -> DayMeant:
    return DayMeant(None, why, True)
