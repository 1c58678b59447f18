"""Closing-time text to an aware time in UTC, or unknown with a reason. Never a guess."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, timedelta
from itertools import islice
from typing import Any

from watchlist.core.plain import folded, plain
from watchlist.core.times.days import day_meant
from watchlist.core.times.words import (
    ClockFound,
    DateFound,
    Span,
    TimeWords,
    clock_of,
    clocks_in,
    date_of,
    dates_in,
    span_in,
    time_words,
    without_short_weekday,
)
from watchlist.core.times.zones import Zone, ZoneFound, source_zone, to_utc, zone_after

LONGEST = 200
MOST_LABELS = 20
"""Labels tried in one description; a text with more is no description."""
YEARS_BACK, YEARS_ON = 30, 10
"""A year further off is a coin's, not a sale's."""


@dataclass(frozen=True, slots=True)
class TimeRead:
    """A time as read. Unknown is None, with the reason in the note; what was assumed stands in the note too."""

    when: datetime | None
    """Aware, in UTC."""
    note: str = ""
    ambiguous: bool = False
    """Unknown, coarse, a session's start, or resting on a setting or the nearest day."""
    zone: str = ""
    """The zone written or assumed."""
    ended: bool = False
    """The text says that the sale is over."""


@dataclass(frozen=True, slots=True)
class _Setting:
    """What the caller knows."""

    table: Mapping[str, Any]
    words: TimeWords
    now: datetime
    zone: str
    order: str | None
    day_end: bool


def read_time(
    text: str,
    words: Mapping[str, Any],
    *,
    now: datetime,
    zone: str = "UTC",
    date_order: str | None = None,
    day_end: bool = False,
) -> TimeRead:
    """Read a closing time; never raises.

    `words` is the table `words/times.toml`; `zone` the source's IANA zone (empty: unknown, then a text without a zone
    is unknown); `date_order` "dmy" or "mdy"; `day_end` takes a date alone as the end of that day.
    """
    if len(text) > LONGEST:
        return _unknown("too long to be a time")
    set_to = _Setting(words, time_words(words), now.astimezone(UTC), zone, date_order, day_end)
    try:
        return _read(without_short_weekday(plain(text), set_to.words).strip(), set_to)
    except (OverflowError, ValueError):
        return _unknown("the time is out of range")


def find_closing(
    text: str,
    words: Mapping[str, Any],
    *,
    now: datetime,
    zone: str = "UTC",
    date_order: str | None = None,
    day_end: bool = False,
) -> TimeRead | None:
    """The closing time that follows a label in free text ("closes 14 Mar 2026 20:00 CET", "Endet: ...").

    None when no label is followed by a time. Two labels with two times give unknown. Never raises.
    """
    table = time_words(words)
    shown = without_short_weekday(plain(text[:100_000]), table)
    small = folded(shown)
    options: dict[str, Any] = {"now": now, "zone": zone, "date_order": date_order, "day_end": day_end}
    reads = _behind(table.label, shown, small, words, table, options)
    if not any(read.when or read.ended for read in reads):
        reads += _behind(table.left_label, shown, small, words, table, options)
    known = {read.when for read in reads if read.when}
    if len(known) > 1:
        return _unknown("two closing times in the text")
    return next((read for read in reads if read.when), reads[0] if reads else None)


def _behind(
    labels: re.Pattern[str], shown: str, small: str, words: Mapping[str, Any], table: TimeWords,
    options: Mapping[str, Any],
) -> list[TimeRead]:
    """The times that stand right behind labels."""
    reads: list[TimeRead] = []
    for label in islice(labels.finditer(small), MOST_LABELS):
        if machine := _MACHINE.match(shown, label.end()):
            reads.append(read_time(machine[1], words, **options))
            continue
        window = shown[label.start() : label.end() + 110]
        end = _extent(window, label.end() - label.start(), words, table, options["zone"])
        if end:
            reads.append(read_time(window[:end], words, **options))
    return reads


def learn_date_order(texts: Iterable[str]) -> str | None:
    """`dmy` or `mdy` by the dates that allow only one; None where none does or the column disagrees."""
    seen = {"dmy": 0, "mdy": 0}
    for text in texts:
        for a, b in _FIGURES.findall(text[:LONGEST]):
            if max(int(a), int(b)) > 12 >= min(int(a), int(b)):
                seen["dmy" if int(a) > 12 else "mdy"] += 1
    common, rare = sorted(seen, key=lambda order: -seen[order])
    return common if seen[common] > 20 * seen[rare] else None


_FIGURES = re.compile(r"(?<![\d./-])(\d{1,2})[./-](\d{1,2})[./-]\d{2,4}(?!\d)", re.ASCII)
_ISO = re.compile(
    r"(\d{4})-(\d\d)-(\d\d)[Tt ](\d\d):(\d\d)(?::(\d\d)(?:[.,]\d+)?)?\s?([Zz]|[+-]\d\d:?\d\d)?"
    r"|(\d{4})(\d\d)(\d\d)T(\d\d)(\d\d)(\d\d)(Z)?",
    re.ASCII,
)
_EPOCH = re.compile(r"(\d{10})(\d{3})?(?:\.0*)?", re.ASCII)
_DURATION = re.compile(r"P(?=[\dT])(?:(\d{1,4})W)?(?:(\d{1,4})D)?(?:T(?:(\d{1,5})H)?(?:(\d{1,5})M)?(?:(\d{1,6})S)?)?")
_MACHINE = re.compile(
    r"[\s:;|=]*(\d{4}-\d\d-\d\d[Tt ]\d\d:\d\d(?::\d\d(?:[.,]\d+)?)?\s?(?:[Zz]|[+-]\d\d:?\d\d)"
    r"|\d{10}(?:\d{3})?|P(?=[\dT])(?:\d{1,4}[WD])*(?:T(?:\d{1,6}[HMS])+)?)(?![\w:+-])",
    re.ASCII,
)
"""A time as programs write it, right after a label in a free text."""
_RANGE = re.compile(r"(?<![a-z])(?:los|lose|lots?|lote|lotes|lotto|lotti|kavels?)\s?\d+(?:\s?-\s?\d+)?")
_COMMA = re.compile(r"[\s,]*")
_TAIL = re.compile(r"\s*(?:(?:uhr|uur|h)\b)?\s*\)?\s*")
_WORD = re.compile(r"[^\W\d_]+")


def _read(text: str, s: _Setting) -> TimeRead:
    if iso := _ISO.fullmatch(text):
        return _iso(iso, s)
    if epoch := _EPOCH.fullmatch(text):
        return _near(datetime.fromtimestamp(int(epoch[1]), UTC), s, "UTC")
    if duration := _DURATION.fullmatch(text):
        parts = [int(part or 0) for part in duration.groups()]
        length = timedelta(weeks=parts[0], days=parts[1], hours=parts[2], minutes=parts[3], seconds=parts[4])
        return _from_now(length, s, coarse="T" not in text)
    small = folded(text)
    if read := _whole(text, small, s):
        return read
    dates = dates_in(small, s.words)
    ended = s.words.ended.search(small) is not None
    if bound := s.words.bound.search(small):
        return _unknown(f"{bound[0]!r} makes it a bound or leaves the time open")
    span = span_in(small, s.words) if not dates else None
    if span and not ended and (read := _relative(small, span, s)):
        return read
    read = _absolute(text, small, dates, s)
    return replace(read, ended=True, note=f"the text says it has ended; {read.note}".rstrip("; ")) if ended else read


def _iso(m: re.Match[str], s: _Setting) -> TimeRead:
    numbers = m.groups()[:7] if m[1] else m.groups()[7:]
    year, month, day, hour, minute, second = (int(part or 0) for part in numbers[:6])
    local = datetime(year, month, day, hour, minute, second)  # noqa: DTZ001 - its zone follows
    mark = numbers[6]
    if mark is None:
        return _settled(local, source_zone(s.zone), s, note=_assumed(s))
    sign = 0 if mark in "Zz" else (-1 if mark[0] == "-" else 1)
    offset = sign * timedelta(hours=int(mark[1:3] or 0), minutes=int(mark[-2:])) if sign else timedelta()
    return _near((local - offset).replace(tzinfo=UTC), s, f"UTC{mark}" if sign else "UTC")


def _whole(text: str, small: str, s: _Setting) -> TimeRead | None:
    """A text that is a date, a clock time and perhaps a weekday and a zone, and nothing else: most of them.

    None for any other; the long road reads these alike, at three times the cost.
    """
    weekday = s.words.weekday.match(small)
    at = _COMMA.match(small, weekday.end()) if weekday else None
    day = s.words.date.match(small, at.end() if at else 0)
    gap = _COMMA.match(small, day.end()) if day else None
    hours = s.words.clock.match(small, gap.end()) if gap else None
    if not (day and hours):
        return None
    clock = clock_of(hours)
    found = zone_after(text, clock.end, s.table, s.zone, seconds=clock.seconds)
    if clock.trouble or found.trouble or not _TAIL.fullmatch(small, found.end):
        return None
    weekdays = [s.words.weekdays[weekday["weekday"]]] if weekday else []
    return _resolved([date_of(day, s.words)], weekdays, [], clock, found.zone, s)


def _relative(small: str, span: Span, s: _Setting) -> TimeRead | None:
    rest = s.words.pair.sub(" ", small)
    said = s.words.left.search(rest) is not None or s.words.label.search(rest) is not None
    rest = s.words.idle.sub(" ", s.words.left.sub(" ", rest))
    if any(c.isalnum() for c in rest):
        return None
    if span.bare and not said:
        return _unknown("a figure with a unit that may be a clock time or no time at all")
    return _from_now(span.length, s, coarse=span.coarse)


def _from_now(length: timedelta, s: _Setting, *, coarse: bool) -> TimeRead:
    read = _near(s.now + length, s, "UTC")
    return replace(read, ambiguous=True, note="coarse: given in whole days") if coarse and read.when else read


def _absolute(text: str, small: str, dates: list[DateFound], s: _Setting) -> TimeRead:
    blanked = _blank(small, dates)
    weekdays = [s.words.weekdays[m["weekday"]] for m in s.words.weekday.finditer(blanked)]
    relative = [s.words.days[m[0]] for m in s.words.day.finditer(blanked)]
    clocks = clocks_in(_RANGE.sub(lambda m: " " * len(m[0]), blanked), s.words)
    if trouble := _too_many(dates, clocks, weekdays, relative):
        return _unknown(trouble)
    clock = clocks[0] if clocks else None
    if clock and clock.trouble:
        return _unknown(clock.trouble)
    found = zone_after(text, clock.end, s.table, s.zone, seconds=clock.seconds) if clock else ZoneFound(None, 0)
    if found.trouble:
        return _unknown(found.trouble)
    extra, unsure = _rest(blanked, clock, found.end if found.zone else 0, s)
    read = _resolved(dates, weekdays, relative, clock, found.zone, s)
    if read.when is None or not extra:
        return read
    return _unknown(extra) if unsure else replace(read, note=f"{read.note}; {extra}".lstrip("; "), ambiguous=True)


def _resolved(
    dates: list[DateFound],
    weekdays: list[int],
    relative: list[int],
    clock: ClockFound | None,
    written: Zone | None,
    s: _Setting,
) -> TimeRead:
    zone = written or source_zone(s.zone)
    if zone is None:
        return _unknown("no time zone in the text, and none is set for the source")
    day, note, ambiguous = day_meant(dates, weekdays, relative, clock, s.now.astimezone(zone.tz), s.order)
    if day is None:
        return _unknown(note)
    return _at(day, clock, zone, s, [note, "" if written or clock is None else _assumed(s)], ambiguous)


def _at(day: date, clock: ClockFound | None, zone: Zone, s: _Setting, notes: list[str], ambiguous: bool) -> TimeRead:
    if clock is None:
        if not s.day_end:
            return _unknown("a date without a time")
        local = datetime(day.year, day.month, day.day, 23, 59, 59)  # noqa: DTZ001 - its zone follows
        notes, ambiguous = [*notes, "end of the day, by the source's setting", _assumed(s)], True
    else:
        local = datetime(day.year, day.month, day.day, clock.hour % 24, clock.minute, clock.second)  # noqa: DTZ001
        local += timedelta(days=clock.hour // 24)
    return _settled(local, zone, s, note="; ".join(filter(None, notes)), ambiguous=ambiguous)


def _settled(local: datetime, zone: Zone | None, s: _Setting, *, note: str, ambiguous: bool = False) -> TimeRead:
    if zone is None:
        return _unknown("no time zone in the text, and none is set for the source")
    when, why = to_utc(local, zone)
    if when is None:
        return _unknown(why)
    read = _near(when, s, zone.name)
    if read.when is None:
        return read
    return replace(read, note="; ".join(filter(None, (note, why))), ambiguous=ambiguous or bool(why))


def _near(when: datetime, s: _Setting, zone: str) -> TimeRead:
    if not -YEARS_BACK <= when.year - s.now.year <= YEARS_ON:
        return _unknown(f"the year {when.year} is too far off for a sale")
    return TimeRead(when, zone=zone)


def _blank(text: str, found: Iterable[DateFound]) -> str:
    for part in found:
        text = f"{text[: part.start]}{' ' * (part.end - part.start)}{text[part.end :]}"
    return text


def _too_many(dates: list[DateFound], clocks: list[ClockFound], weekdays: list[int], relative: list[int]) -> str:
    if len(dates) > 1 or len(weekdays) > 1 or len(relative) > 1 or (dates and relative):
        return "more than one day in the text"
    return "more than one clock time in the text" if len(clocks) > 1 else ""


def _rest(blanked: str, clock: ClockFound | None, zone_end: int, s: _Setting) -> tuple[str, bool]:
    """What else the text says: a note, and whether it leaves the time open."""
    rest = blanked
    if clock:
        rest = rest[: clock.start] + " " + rest[max(clock.end, zone_end) :]
    rest = _RANGE.sub(" ", rest)
    begins = s.words.begin.search(rest) is not None
    for known in (s.words.weekday, s.words.day, s.words.begin, s.words.ended, s.words.idle, s.words.left):
        rest = known.sub(" ", rest)
    if any(c.isdigit() for c in rest):
        return "the text has figures that are not understood", True
    if begins:
        return "the start of a session: the lot comes later", False
    words = _WORD.findall(rest)
    return (f"also says {' '.join(words)[:60]!r}", False) if words else ("", False)


def _assumed(s: _Setting) -> str:
    return f"no zone in the text: {s.zone} taken"


def _extent(window: str, start: int, table: Mapping[str, Any], words: TimeWords, zone: str) -> int:
    """Where the time that begins after a label ends; 0 when none begins there."""
    small = _ISO_T.sub(" ", folded(window))
    at, end, used = start, 0, set[str]()
    while at < len(small):
        span = words.pair.match(small, at) if "span" in used else None   # in `2d 04h` the hours are no clock time
        kind, stop = ("span", span.end()) if span else _piece(window, small, at, words, table, zone)
        if not kind or (kind in used and kind != "span") or (kind == "span" and used & {"date", "clock"}):
            break
        if kind in ("date", "clock") and "span" in used:
            break
        if kind != "idle":
            used.add(kind)
            end = stop
        at = stop
    return end


_ISO_T = re.compile(r"(?<=[0-9])t(?=[0-9])")
_PUNCTUATION = re.compile(r"[\s,:;|=()-]+|\.(?!\s*\w)|\.\s(?=\d)")


def _piece(
    window: str, small: str, at: int, words: TimeWords, table: Mapping[str, Any], zone: str
) -> tuple[str, int]:
    """The kind and end of the known thing that begins at a place of a text."""
    if m := _PUNCTUATION.match(small, at):
        return "idle", m.end()
    if m := words.date.match(small, at):
        return "date", m.end()
    span = words.pair.match(small, at)
    if span and words.units[span[2]] >= 86_400:
        return "span", span.end()
    if (m := words.clock.match(small, at)) and not (span and words.left.search(small[:at])):
        found = zone_after(window, m.end(), table, zone, seconds=m["s1"] is not None)
        sure = found.zone is not None or _zone_like(window[m.end() : found.end])
        return "clock", found.end if sure else m.end()
    if span:
        return "span", span.end()
    idle = (words.bound, words.begin, words.idle, words.left)
    for kind, pattern in (("weekday", words.weekday), ("day", words.day), *(("idle", known) for known in idle)):
        if m := pattern.match(small, at):
            return kind, m.end()
    return "", at


def _zone_like(text: str) -> bool:
    """Capitals that look like a zone we do not know: better unknown than read without it."""
    return re.search(r"(?<![A-Za-z])[A-Z]{2,4}T$", text) is not None


def _unknown(note: str) -> TimeRead:
    return TimeRead(None, note, ambiguous=True)
