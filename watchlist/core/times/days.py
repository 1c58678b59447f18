"""Which day a text means: a date, a weekday, "tomorrow"; the order of day and month is never guessed."""

from __future__ import annotations

from datetime import date, datetime, timedelta

from watchlist.core.times.words import ClockFound, DateFound, day_of

NO_DAY = "no day in the text"


def day_meant(
    dates: list[DateFound],
    weekdays: list[int],
    relative: list[int],
    clock: ClockFound | None,
    here: datetime,
    order: str | None,
) -> tuple[date | None, str, bool]:
    """The day meant, a note, and whether it is ambiguous; None with the reason.

    `here` is now by the clocks of the zone; `order` the source's order of day and month.
    """
    weekday = weekdays[0] if weekdays else None
    if dates:
        return _dated(dates[0], weekday, here.date(), order)
    if relative:
        day = here.date() + timedelta(days=relative[0])
        agrees = weekday is None or day.weekday() == weekday
        return (day, "", False) if agrees else (None, "the weekday does not agree with the day", True)
    if weekday is None or clock is None:
        return None, NO_DAY if clock else "no time given", True
    passed = (clock.hour, clock.minute, clock.second) < (here.hour, here.minute, here.second)
    ahead = (weekday - here.weekday()) % 7 or (7 if passed else 0)
    return here.date() + timedelta(days=ahead), "the coming day of that name", True


def _dated(found: DateFound, weekday: int | None, today: date, wanted: str | None) -> tuple[date | None, str, bool]:
    if found.short and found.year is not None and abs(found.year - today.year) > 2:
        return None, "a year of two figures that is not near", True
    years = (found.year,) if found.year is not None else (today.year - 1, today.year, today.year + 1)
    choices = [(order, day) for order, m, d in found.days for year in years if (day := day_of(year, m, d)) is not None]
    if not choices:
        return None, "no such day in the calendar", True
    fitting = [choice for choice in choices if weekday is None or choice[1].weekday() == weekday]
    if not fitting:
        return None, "the weekday does not agree with the date", True
    if found.year is None:
        return min((day for _, day in fitting), key=lambda day: abs(day - today)), "no year: the nearest taken", True
    if len(fitting) > 1:
        return _by_order(fitting, wanted)
    note = "a year of two figures" if found.short else ""
    order = fitting[0][0]
    if {wanted, order} == {"dmy", "mdy"} and weekday is None:
        note = f"read as {order}, against the source's {wanted}: no other day is possible"
    return fitting[0][1], note, bool(note)


def _by_order(fitting: list[tuple[str, date]], order: str | None) -> tuple[date | None, str, bool]:
    day = dict(fitting).get(order or "")
    if day is None:
        return None, "day and month can stand either way: set the source's date order", True
    return day, f"day and month by the source's setting ({order})", True
