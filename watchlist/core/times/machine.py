"""Times as programs write them: ISO 8601 with intervals and durations, RFC 9557, DCMI Period, Unix seconds, ctime."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

ISO = re.compile(
    r"(?P<clocks>\d{4}-\d\d-\d\d[Tt ]\d\d:\d\d(?::\d\d(?:[.,]\d+)?)?)(?:\s?(?P<offset>[Zz]|[+-]\d\d(?::?\d\d)?))?"
    r"|(?P<basic>\d{8}T\d{4}(?:\d\d)?)(?P<basic_offset>Z|[+-]\d\d(?:\d\d)?)?",
    re.ASCII,
)
"""The shapes that are taken for a moment: `fromisoformat` would take `2026-W01` and any letter for the T too."""
END_OF_DAY = re.compile(r"(?<=[Tt ])24(?=(?::?00)+(?:[.,]\d+)?$)", re.ASCII)
EPOCH = re.compile(r"(\d{10})(\d{3})?(?:\.0*)?", re.ASCII)
DURATION = re.compile(r"P(?=[\dT])(?:(\d{1,4})W)?(?:(\d{1,4})D)?(?:T(?:(\d{1,5})H)?(?:(\d{1,5})M)?(?:(\d{1,6})S)?)?")
INTERVAL = re.compile(r"\d{4}-?\d\d-?\d\d[\dTt:.,Zz+ -]{0,25}/\s?(\d{4}-?\d\d-?\d\d.*)", re.ASCII)
PERIOD = re.compile(r"(?:(?:start|name|scheme)=[^;]*;\s*)*end=\s*([^;]+?)\s*(?:;.*)?", re.IGNORECASE)
SERIAL = re.compile(r"([45]\d{4})[.,](\d{1,12})", re.ASCII)
"""Days since the end of 1899, as spreadsheets count them; the fraction is the time of day."""
EAST, WEST = timedelta(hours=14), timedelta(hours=12)
"""The offsets of the IANA time zone database end here."""
PLACE = re.compile(r"(.*\d(?:[Zz]|[+-]\d\d(?::?\d\d)?)?)\[([A-Z]\w+(?:/\w+){1,2})\]", re.ASCII)
CTIME = re.compile(
    r"[A-Z][a-z]{2},? (?P<month>[A-Z][a-z]{2}) {1,2}(?P<day>\d{1,2}) (?P<clock>\d\d:\d\d:\d\d)"
    r"(?P<zone> [A-Z]{2,5})? (?P<year>\d{4})",
    re.ASCII,
)


class OffsetError(ValueError):
    """An offset that no clocks have; the message says which."""


@dataclass(frozen=True, slots=True)
class Moment:
    """A time of a program: the clocks' time, and how far they are from UTC where that is written."""

    local: datetime
    """Without a zone."""
    offset: timedelta | None
    """From UTC; None where none is written."""
    place: str = ""
    """The place in brackets (`[Europe/Berlin]`)."""


def moment(text: str) -> Moment | None:
    """A whole text that is one moment; None for any other. Raises ValueError for a day or an hour that is none.

    `24:00:00` is the end of its day, as ISO 8601 has it.
    """
    if epoch := EPOCH.fullmatch(text):
        return Moment(datetime.fromtimestamp(int(epoch[1]), UTC).replace(tzinfo=None), timedelta())
    if serial := SERIAL.fullmatch(text):
        seconds = round(float(f".{serial[2]}") * 86_400)
        return Moment(datetime(1899, 12, 30) + timedelta(int(serial[1]), seconds), None)  # noqa: DTZ001
    place = PLACE.fullmatch(text)
    found = ISO.fullmatch(place[1] if place else text)
    if not found:
        return None
    clocks, nights = END_OF_DAY.subn("00", found["clocks"] or found["basic"])
    local = datetime.fromisoformat(clocks).replace(microsecond=0) + timedelta(days=nights)
    return Moment(local, _offset(found["offset"] or found["basic_offset"]), place[2] if place else "")


def _offset(mark: str | None) -> timedelta | None:
    if not mark:
        return None
    if mark in "Zz":
        return timedelta()
    digits = mark[1:].replace(":", "")
    offset = offset_of(mark[0], int(digits[:2]), int(digits[2:] or 0))
    if offset is None:
        raise OffsetError(f"{mark} is not an offset from UTC")
    return offset


def offset_of(sign: str, hours: int, minutes: int) -> timedelta | None:
    """An offset from UTC that some clocks of the world have, from 12 hours behind it to 14 before; else None."""
    size = timedelta(hours=hours, minutes=minutes)
    if minutes > 59 or size > (WEST if sign == "-" else EAST):
        return None
    return -size if sign == "-" else size


def in_order(text: str) -> str:
    """`Sat Nov 28 18:00:00 2026`, as C's ctime has it, with the year at its date; any other text as it is."""
    found = CTIME.fullmatch(text)
    return f"{found['day']} {found['month']} {found['year']} {found['clock']}{found['zone'] or ''}" if found else text


def duration(text: str) -> timedelta | None:
    """A duration of ISO 8601 (`P2DT4H`); None for any other text."""
    found = DURATION.fullmatch(text)
    if not found:
        return None
    weeks, days, hours, minutes, seconds = (int(part or 0) for part in found.groups())
    return timedelta(weeks=weeks, days=days, hours=hours, minutes=minutes, seconds=seconds)


def end_of_interval(text: str) -> str:
    """The end of `start/end` (ISO 8601) or of `start=...; end=...` (DCMI Period); any other text as it is."""
    found = INTERVAL.fullmatch(text) or PERIOD.fullmatch(text)
    return found[1] if found else text
