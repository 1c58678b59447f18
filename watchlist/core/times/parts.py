"""Dates, clock times and spans of time inside a folded text, and what each can mean."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import pairwise

from watchlist.core.times.words import TimeWords


@dataclass(frozen=True, slots=True)
class DateFound:
    """A date as written: the days it can mean, by the order of day and month."""

    start: int
    end: int
    days: tuple[tuple[str, int, int], ...]
    """(order, month, day); more than one where the order of day and month is open."""
    year: int | None
    short: bool
    """The year has two figures."""


@dataclass(frozen=True, slots=True)
class ClockFound:
    """A clock time as written."""

    start: int
    end: int
    hour: int
    minute: int
    second: int
    trouble: str = ""
    seconds: bool = False
    """Seconds are written."""


@dataclass(frozen=True, slots=True)
class Span:
    """A span of time left to run."""

    length: timedelta
    coarse: bool
    """Nothing finer than a day is written."""
    bare: bool
    """One figure with a unit that can also belong to a clock or a weight."""


def dates_in(text: str, words: TimeWords) -> list[DateFound]:
    """The dates in a folded text, in order."""
    return [date_of(found, words) for found in words.date.finditer(text)]


def date_of(m: re.Match[str], words: TimeWords) -> DateFound:
    """What a match of the date pattern says."""
    for year, month, day in (("y1", "m1", "d1"), ("y5", "m5", "d5")):
        if m[year]:
            return DateFound(m.start(), m.end(), (("ymd", int(m[month]), int(m[day])),), int(m[year]), False)
    for year, month, day in (("y3", "m3", "d3"), ("y4", "m4", "d4"), ("y7", "m7", "d7")):
        if m[month]:
            days = (("", words.months[m[month]], int(m[day])),)
            return DateFound(m.start(), m.end(), days, *_year(m[year]))
    if m["a6"]:
        return DateFound(m.start(), m.end(), (("dmy", int(m["b6"]), int(m["a6"])),), None, False)
    return DateFound(m.start(), m.end(), _orders(int(m["a"]), int(m["b"]), m["s2"]), *_year(m["y2"]))


def _year(text: str | None) -> tuple[int | None, bool]:
    if not text:
        return None, False
    text = text.removeprefix("'")
    return (int(text), False) if len(text) == 4 else (2000 + int(text), True)


def _orders(a: int, b: int, mark: str) -> tuple[tuple[str, int, int], ...]:
    """The days two figures can mean. With dots the day comes first, wherever that gives a month."""
    found = []
    if 1 <= b <= 12:
        found.append(("dmy", b, a))
    if 1 <= a <= 12 and a != b and not (mark == "." and found):
        found.append(("mdy", a, b))
    return tuple(found)


def clocks_in(text: str, words: TimeWords) -> list[ClockFound]:
    """The clock times in a folded text whose dates are blanked."""
    return [clock_of(found) for found in words.clock.finditer(text)]


def clock_of(m: re.Match[str]) -> ClockFound:
    """What a match of the clock pattern says."""
    if m["noon"]:
        return ClockFound(m.start(), m.end(), 12, 0, 0)
    hour = int(m["h1"] or m["h2"] or m["h3"] or m["h4"])
    minute, second = int(m["n1"] or 0), int(m["s1"] or 0)
    half = (m["ap1"] or m["ap2"] or "")[:1]
    trouble = ""
    if half and 1 <= hour <= 12:
        hour = hour % 12 + (12 if half == "p" else 0)
    elif half == "p" or (m["h2"] and half):
        trouble = f"{m[0].strip()} is not a clock time"
    elif m["h4"] and hour < 13:
        trouble = f"{m[0].strip()} does not say morning or evening"
    if hour > 24 or minute > 59 or second > 59 or (hour == 24 and (minute or second)):
        trouble = f"{m[0].strip()} is not a clock time"
    return ClockFound(m.start(), m.end(), hour, minute, second, trouble, m["s1"] is not None)


def span_in(text: str, words: TimeWords) -> Span | None:
    """The span a folded text gives as figures with units ("2d 4h 15 min", "1 day 03:15:00"), all added up."""
    pairs = list(words.pair.finditer(text)) if any(c.isdigit() for c in text) else []
    units = [words.units[m[2]] for m in pairs]
    running = words.countdown.search(text) if min(units, default=86_400) >= 86_400 else None
    if running and not (pairs or words.left.search(text)):
        running = None
    if not (pairs or running):
        return None
    length = timedelta(seconds=sum(int(m[1]) * unit for m, unit in zip(pairs, units, strict=True)))
    if running:
        hours, minutes, seconds = map(int, running.groups())
        return Span(length + timedelta(hours=hours, minutes=minutes, seconds=seconds), False, False)
    falling = all(a > b for a, b in pairwise(units))
    bare = not falling or (len(pairs) == 1 and pairs[0][2] in words.bare)
    return Span(length, min(units) >= 86_400, bare)


def day_of(year: int, month: int, day: int) -> date | None:
    """The day of the calendar, or None where there is none."""
    try:
        return date(year, month, day)
    except ValueError:
        return None
