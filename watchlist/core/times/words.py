"""Dates, clock times and spans of time inside a folded text, as patterns built once from the word table."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import pairwise
from typing import Any

from watchlist.core import folding
from watchlist.core.folding import folded
from watchlist.core.tables import once


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


@dataclass(frozen=True, slots=True)
class TimeWords:
    """The word table of times, built."""

    months: Mapping[str, int]
    weekdays: Mapping[str, int]
    days: Mapping[str, int]
    units: Mapping[str, int]
    date: re.Pattern[str]
    clock: re.Pattern[str]
    weekday: re.Pattern[str]
    short_weekday: re.Pattern[str]
    day: re.Pattern[str]
    pair: re.Pattern[str]
    countdown: re.Pattern[str]
    """`03:15:00` as a clock that runs backwards; whether it is one the words around it tell."""
    bound: re.Pattern[str]
    begin: re.Pattern[str]
    ended: re.Pattern[str]
    still: re.Pattern[str]
    """A span with the word behind it that says it is left: `3d 4h left`."""
    left: re.Pattern[str]
    idle: re.Pattern[str]
    label: re.Pattern[str]
    mere_label: re.Pattern[str]
    """A label that says nothing of the time itself, with what parts it from one."""
    left_label: re.Pattern[str]
    event_label: re.Pattern[str]
    """The sale itself: `Auktion am`."""


_NOT_SHORT_YEAR = r"(?!\d|\s*(?:[:.]\s?\d|[ap]\.?m|h|u))"
BARE_UNITS = frozenset({"h", "u", "m", "s", "t", "j", "g", "w"})


def any_of(phrases: Iterable[str]) -> str:
    """A pattern for any of some phrases, folded."""
    return folding.any_of(map(folded, phrases))


def _words(phrases: Iterable[str]) -> re.Pattern[str]:
    return re.compile(rf"(?<![a-z0-9])(?:{any_of(phrases)})(?![a-z])")


def _numbered(table: Mapping[str, list[str]]) -> dict[str, int]:
    return {folded(word): int(number) for number, listed in table.items() for word in listed}


@once
def time_words(words: Mapping[str, Any]) -> TimeWords:
    """Build the patterns from `words/times.toml`."""
    months, units, weekdays, days = (_numbered(words[name]) for name in ("months", "units", "weekdays", "days"))
    said, clock = words["said"], words["clock"]
    labels, left = words["closing"]["labels"], words["closing"]["left_labels"]
    events = words["closing"]["event_labels"]
    telling = _words([*said["bound"], *said["from"], *said["ended"], *said["left"], *weekdays, *days, *months])
    mere = [label for label in labels if not telling.search(folded(label))]
    and_ = r"(?:(?:and|und|et|y|e|en)\s)?"
    at = "".join(rf"(?<!{word} )" for word in clock["before"])
    return TimeWords(
        months=months,
        weekdays=weekdays,
        days=days,
        units=units,
        date=_date_pattern(any_of(months)),
        clock=_clock_pattern(clock),
        weekday=re.compile(rf"(?<![a-z])(?P<weekday>{any_of(weekdays)})(?![a-z])\.?"),
        short_weekday=re.compile(
            rf"(?i)(?<!\w)(?:{any_of(words['short_weekdays']['before_date'])})(?:\.,?|,)?\s+(?=\d{{1,2}}[./-]|\d{{1,2}}\s[a-z]{{3}})"
        ),
        day=_words(days),
        pair=re.compile(rf"(?:(?<![\w.,:/-])|(?<=\d[a-z]))(\d{{1,4}})\s?({any_of(units)})(?![a-z])\.?"),
        countdown=re.compile(rf"(?<![\w.,:/-]){at}" + _COUNTDOWN),
        bound=re.compile(rf"[<>≤≥]|(?<![a-z0-9])(?:{any_of(said['bound'])}|{_dutch_over(said)})(?![a-z])"),
        begin=_words(said["from"]),
        ended=_words(said["ended"]),
        still=re.compile(
            rf"(?:(?<![\w.,:/-])\d{{1,4}}\s?(?:{any_of(units.keys() - {'g'})})(?![a-z])\.?[\s,]*{and_}){{1,5}}"
            rf"(?:{any_of(said['still'])})(?![a-z])"
        ),
        left=_words(said["left"]),
        idle=re.compile(rf"(?<![a-z0-9])(?:{any_of([*said['filler'], *labels, *left, *events])})(?![a-z])"),
        label=re.compile(rf"(?<![\w-])(?:{any_of(labels)})(?![\w-])"),
        mere_label=re.compile(rf"(?:{any_of(mere)})(?![\w-])[\s:,]*"),
        left_label=re.compile(rf"(?<![\w-])(?:{any_of(left)})(?![\w-])"),
        event_label=re.compile(rf"(?<![\w-])(?:{any_of(events)})(?![\w-])"),
    )


_COUNTDOWN = r"(\d{1,3}):([0-5]\d):([0-5]\d)(?![\w:.]|\s?[ap]\.?m)"


def _dutch_over(said: Mapping[str, Any]) -> str:
    """The English `over 2 days`, a bound; the Dutch `over 2 dagen` is a span and none."""
    return rf"over(?!\s\d+\s?(?:{any_of(said['over_is_left'])})(?![a-z]))"


def without_short_weekday(text: str, words: TimeWords) -> str:
    """A text of the same length with `So.` before `15.03.` blanked: too short a word to be trusted anywhere else."""
    return words.short_weekday.sub(lambda found: " " * len(found[0]), text)


def _date_pattern(month: str) -> re.Pattern[str]:
    ordinal = r"(?:st|nd|rd|th|er|\.|º|°)?"
    iso = r"(?P<y1>\d{4})(?P<s1>[-/.])(?P<m1>\d{1,2})(?P=s1)(?P<d1>\d{1,2})(?!\d)(?:t(?=\d))?"
    east = r"(?P<y5>\d{4})年(?P<m5>\d{1,2})月(?P<d5>\d{1,2})日"
    numbers = (  # `28. 11. 2026` too, but of two figures behind a blank the second may be an hour
        r"(?P<a>\d{1,2})(?P<s2>[./-])(?:(?<=\.)\s)?(?P<b>\d{1,2})(?P=s2)"
        r"(?:(?<=\.)\s(?=\d{4}))?(?P<y2>\d{4}|\d{2})(?!\d)"
    )
    undated = (  # `11.03. 19:00 Uhr`: without a year only right before a clock time
        r"(?P<a6>0?[1-9]|[12]\d|3[01])\.\s?(?P<b6>0?[1-9]|1[0-2])\.(?=,?\s+(?:um\s+|ab\s+)?\d{1,2}(?:[:.h]\d\d|\s?uhr))"
    )
    year3 = rf"(?:\.?[\s,-]*(?:de\s|del\s)?(?P<y3>\d{{4}}(?!\d)|'?\d{{2}}{_NOT_SHORT_YEAR}))?"
    day_first = rf"(?P<d3>\d{{1,2}}){ordinal}[\s-]*(?:de\s|of\s)?(?P<m3>{month})(?![a-z]){year3}"
    year4 = r"(?:,?\s+(?P<y4>\d{4})(?!\d))?"
    dashed = rf"(?P<m7>{month})-(?P<d7>\d{{1,2}})-(?P<y7>\d{{4}}|\d{{2}})(?!\d)"
    month_first = (
        rf"(?P<m4>{month})(?![a-z])\.?\s+(?P<d4>\d{{1,2}})(?!\d|[:.]\d|\s?[ap]\.?m|\s?h)(?:st|nd|rd|th)?{year4}"
    )
    forms = "|".join((iso, east, numbers, undated, day_first, dashed, month_first))
    return re.compile(rf"(?<![\w.:/-])(?<!\d,)(?:{forms})", re.ASCII)


def _clock_pattern(clock: Mapping[str, list[str]]) -> re.Pattern[str]:
    full = (
        r"(?P<h1>\d{1,2})(?:[:.hu]|\sh\s(?=\d\d(?!\s?m)))(?P<n1>\d{2})(?:[:.](?P<s1>\d{2})(?:[.,]\d{1,9})?)?"
        r"(?=$|\W|[ap]m|(?:h|z|hrs|uhr|uur)\b)\s?(?P<ap1>[ap]\.?m(?![a-z])\.?)?"
    )
    meridian = r"(?P<h2>\d{1,2})\s?(?P<ap2>[ap]\.?m(?![a-z])\.?)"
    hours = any_of(clock["after"])
    after = rf"(?P<h3>\d{{1,2}})\s?(?:{hours})(?![a-z0-9])"
    before = rf"(?:{any_of(clock['before'])})\s(?P<h4>\d{{1,2}})(?![\w:.]|\s?(?:[ap]\.?m|{hours})(?![a-z]))"
    noon = rf"(?P<noon>{any_of(clock['noon'])})(?![a-z])"
    return re.compile(rf"(?<![\w.,:/])(?:{full}|{meridian}|{after}|{before}|{noon})", re.ASCII)


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
        trouble = f"{m[0].strip()} is no clock time"
    elif m["h4"] and hour < 13:
        trouble = f"{m[0].strip()} does not say morning or evening"
    if hour > 24 or minute > 59 or second > 59 or (hour == 24 and (minute or second)):
        trouble = f"{m[0].strip()} is no clock time"
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
    bare = not falling or (len(pairs) == 1 and (pairs[0][2] in BARE_UNITS or pairs[0][2] in _CLOCKISH))
    return Span(length, min(units) >= 86_400, bare)


_CLOCKISH = frozenset({"uur", "heures", "heure", "horas", "hora", "ore", "ora"})


def day_of(year: int, month: int, day: int) -> date | None:
    """The day of the calendar, or None where there is none."""
    try:
        return date(year, month, day)
    except ValueError:
        return None
