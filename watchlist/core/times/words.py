"""The word table of times as patterns, built once: dates, clock times, spans of time, and the words around them."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from watchlist.core import folding
from watchlist.core.folding import folded
from watchlist.core.tables import once


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
    day_first: frozenset[str]
    """Labels of languages that write the day before the month; in English either may come first."""
    mere_label: re.Pattern[str]
    """A label that says nothing of the time itself, with what parts it from one."""
    left_label: re.Pattern[str]
    event_label: re.Pattern[str]
    """The sale itself: `Auktion am`."""
    bare: frozenset[str]
    """Units that may belong to a clock or a weight."""
    lots: re.Pattern[str]
    """The number of a lot, or the numbers of some: no hours."""
    place: re.Pattern[str]
    """The clocks of a place, by words that are in no list."""
    tail: re.Pattern[str]
    """What may still stand behind a clock time and its zone."""


def any_of(phrases: Iterable[str]) -> str:
    """A pattern for any of some phrases, folded."""
    return folding.any_of(map(folded, phrases))


def _words(phrases: Iterable[str]) -> re.Pattern[str]:
    return re.compile(rf"(?<![a-z0-9])(?:{any_of(phrases)})(?![a-z])")


def _numbered(table: Mapping[str, list[str]]) -> dict[str, int]:
    return {folded(word): int(number) for number, listed in table.items() for word in listed}


@once
def time_words(words: Mapping[str, Any]) -> TimeWords:
    """Build the patterns from the table `times`."""
    months, units, weekdays, days = (_numbered(words[name]) for name in ("months", "units", "weekdays", "days"))
    said, clock = words["said"], words["clock"]
    labels, left = [*words["closing"]["labels"], *words["closing"]["day_first"]], words["closing"]["left_labels"]
    events = words["closing"]["event_labels"]
    telling = _words([*said["bound"], *said["from"], *said["ended"], *said["left"], *weekdays, *days, *months])
    mere = [label for label in labels if not telling.search(folded(label))]
    and_ = rf"(?:(?:{any_of(said['and'])})\s)?"
    at = "".join(rf"(?<!{word} )" for word in clock["before"])
    return TimeWords(
        months=months,
        weekdays=weekdays,
        days=days,
        units=units,
        date=_date_pattern(any_of(months), words),
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
        day_first=frozenset(map(folded, words["closing"]["day_first"]))
        - frozenset(map(folded, words["closing"]["labels"])),
        mere_label=re.compile(rf"(?:{any_of(mere)})(?![\w-])[\s:,]*"),
        left_label=re.compile(rf"(?<![\w-])(?:{any_of(left)})(?![\w-])"),
        event_label=re.compile(rf"(?<![\w-])(?:{any_of(events)})(?![\w-])"),
        bare=frozenset([*(unit for unit in units if len(unit) == 1 and unit != "d"), *clock["or_span"]]),
        lots=re.compile(rf"(?<![a-z])(?:{any_of(said['lot'])})\s?\d+(?:\s?-\s?\d+)?"),
        place=_place_pattern(words["place"]),
        tail=re.compile(rf"\s*(?:(?:{any_of(clock['after'])})\b)?\s*\)?\s*"),
    )


_COUNTDOWN = r"(\d{1,3}):([0-5]\d):([0-5]\d)(?![\w:.]|\s?[ap]\.?m)"


def _dutch_over(said: Mapping[str, Any]) -> str:
    """The English `over 2 days`, a bound; the Dutch `over 2 dagen` is a span and none."""
    return rf"over(?!\s\d+\s?(?:{any_of(said['over_is_left'])})(?![a-z]))"


def without_short_weekday(text: str, words: TimeWords) -> str:
    """A text of the same length with `So.` before `15.03.` blanked: too short a word to be trusted anywhere else."""
    return words.short_weekday.sub(lambda found: " " * len(found[0]), text)


def _place_pattern(place: Mapping[str, list[str]]) -> re.Pattern[str]:
    """`Orvany standard time`, `heure de Mersa`."""
    words = {key: any_of(phrases) for key, phrases in place.items()}
    before = rf"(?!(?:{words['no_place']})\b)[a-z]{{4,}} (?:(?:{words['season']}) )?(?:{words['time']})"
    behind = rf"(?:{words['hour']}) (?:(?:{words['of']}) )?(?!{words['no_place_of']})[a-z]{{4,}}"
    return re.compile(rf"(?<![a-z])(?:{before}(?![a-z])|{behind})")


def _date_pattern(month: str, words: Mapping[str, Any]) -> re.Pattern[str]:
    clock, letter = words["clock"], f"[{''.join(words['clock']['letter'])}]"
    nth, of = any_of(words["date"]["ordinal"]), any_of(words["date"]["of"])
    then = any_of(words["date"]["then"])
    ordinal = rf"(?:{nth}|\.|º|°)?"
    iso = r"(?P<y1>\d{4})(?P<s1>[-/.])(?P<m1>\d{1,2})(?P=s1)(?P<d1>\d{1,2})(?!\d)(?:t(?=\d))?"
    east = r"(?P<y5>\d{4})年(?P<m5>\d{1,2})月(?P<d5>\d{1,2})日"
    numbers = (  # `28. 11. 2026` too, but of two figures behind a blank the second may be an hour
        r"(?P<a>\d{1,2})(?P<s2>[./-])(?:(?<=\.)\s)?(?P<b>\d{1,2})(?P=s2)"
        r"(?:(?<=\.)\s(?=\d{4}))?(?P<y2>\d{4}|\d{2})(?!\d)"
    )
    undated = (  # `11.03. 19:00 Uhr`: without a year only right before a clock time
        r"(?P<a6>0?[1-9]|[12]\d|3[01])\.\s?(?P<b6>0?[1-9]|1[0-2])\."
        rf"(?=,?\s+(?:(?:{then})\s+)?\d{{1,2}}(?:[:.h]\d\d|\s?(?:{any_of(clock['after'])})(?![a-z])))"
    )
    no_hour = rf"(?!\d|\s*(?:[:.]\s?\d|[ap]\.?m|{letter}))"
    year3 = rf"(?:\.?[\s,-]*(?:(?:{of})\s)?(?P<y3>\d{{4}}(?!\d)|'?\d{{2}}{no_hour}))?"
    day_first = rf"(?P<d3>\d{{1,2}}){ordinal}[\s-]*(?:(?:{of})\s)?(?P<m3>{month})(?![a-z]){year3}"
    year4 = r"(?:,?\s+(?P<y4>\d{4})(?!\d))?"
    dashed = rf"(?P<m7>{month})-(?P<d7>\d{{1,2}})-(?P<y7>\d{{4}}|\d{{2}})(?!\d)"
    month_first = (
        rf"(?P<m4>{month})(?![a-z])\.?\s+(?P<d4>\d{{1,2}})(?!\d|[:.]\d|\s?[ap]\.?m|\s?{letter})(?:{nth})?{year4}"
    )
    forms = "|".join((iso, east, numbers, undated, day_first, dashed, month_first))
    return re.compile(rf"(?<![\w.:/-])(?<!\d,)(?:{forms})", re.ASCII)


def _clock_pattern(clock: Mapping[str, list[str]]) -> re.Pattern[str]:
    hours, letter = any_of(clock["after"]), "".join(clock["letter"])
    full = (
        rf"(?P<h1>\d{{1,2}})(?:[:.{letter}]|\s[{letter}]\s(?=\d\d(?!\s?m)))(?P<n1>\d{{2}})"
        rf"(?:[:.](?P<s1>\d{{2}})(?:[.,]\d{{1,9}})?)?"
        rf"(?=$|\W|[ap]m|(?:z|{hours})\b)\s?(?P<ap1>[ap]\.?m(?![a-z])\.?)?"
        rf"(?:(?<=12:00\s)(?:{any_of(clock['noon'])})(?![a-z]))?"
    )
    meridian = r"(?P<h2>\d{1,2})\s?(?P<ap2>[ap]\.?m(?![a-z])\.?)"
    after = rf"(?P<h3>\d{{1,2}})\s?(?:{hours})(?![a-z0-9])"
    before = rf"(?:{any_of(clock['before'])})\s(?P<h4>\d{{1,2}})(?!\w|[:.]\d|\s?(?:[ap]\.?m|{hours})(?![a-z]))"
    noon = rf"(?P<noon>{any_of(clock['noon'])})(?![a-z])"
    return re.compile(rf"(?<![\w.,:/])(?:{full}|{meridian}|{after}|{before}|{noon})", re.ASCII)
