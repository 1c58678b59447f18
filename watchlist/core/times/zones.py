"""Time zones as closing times name them, and local time to UTC without a guess at clock changes."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta, timezone, tzinfo
from functools import lru_cache
from typing import Any
from zoneinfo import ZoneInfo

from dateutil import tz

from watchlist.core.folding import folded
from watchlist.core.tables import once
from watchlist.core.times.machine import offset_of


@dataclass(frozen=True, slots=True)
class Zone:
    """A zone as written or assumed."""

    name: str
    tz: tzinfo
    region: str = ""
    """For an abbreviation, the zone that uses it: there it may be out of season."""


@dataclass(frozen=True, slots=True)
class ZoneFound:
    """What stands after a clock time: a zone and where it ends, or the reason why it is unknown."""

    zone: Zone | None
    end: int
    trouble: str = ""


@dataclass(frozen=True, slots=True)
class _Names:
    fixed: Mapping[str, tuple[int, str]]
    regional: Mapping[str, str]
    shared: frozenset[str]
    phrase: re.Pattern[str]
    lead: re.Pattern[str]
    """What may stand between a clock time and its zone."""


_CHANGE = re.compile(r"(\d\d:\d\d) (does not exist|occurs twice) in (\S+) on (\d{4}-\d\d-\d\d): the clocks change")
_OFFSET = re.compile(
    r"(?P<named>(?:gmt|utc|ut)\s?)?(?P<sign>[+-])(?P<h>[0-9]{1,2})(?P<colon>:)?(?P<m>[0-9]{2})?(?![0-9:.])"
)
_IANA = re.compile(r"[A-Z][A-Za-z]+/[A-Z][A-Za-z_]+(?:/[A-Z][A-Za-z_]+)?")
_LETTERS = re.compile(r"[A-Za-z]{1,5}(?![A-Za-z0-9])")


@lru_cache(maxsize=256)
def source_zone(name: str) -> Zone | None:
    """The zone of a source or venue by its IANA name; None when the name is empty or unknown."""
    try:
        return Zone(name, ZoneInfo(name)) if name else None
    except (ValueError, OSError, LookupError):  # `../x`, a folder of the database such as `Europe`, no such zone
        return None


def zone_after(text: str, end: int, words: Mapping[str, Any], source: str, *, seconds: bool) -> ZoneFound:
    """The zone written after a clock time that ends at `end`; no zone and no trouble when none is written.

    `text` has plain letters in their own case. With a clock in `seconds`, "-05:00" is an offset; without, it may be
    the end of a range of hours, which is told apart elsewhere.
    """
    names = _names(words)
    small = folded(text)
    lead = names.lead.match(small, end)
    at = lead.end() if lead else end
    if (offset := _OFFSET.match(small, at)) and _is_offset(offset, seconds):
        return _from_offset(offset)
    if phrase := names.phrase.match(small, at):
        return _named(names.regional[phrase[0]], phrase.end())
    if iana := _IANA.match(text, at):
        return _named(iana[0], iana.end())
    if letters := _LETTERS.match(text, at):
        return _abbreviation(letters[0], letters.end(), names, source)
    return ZoneFound(None, end)


def to_utc(local: datetime, zone: Zone) -> tuple[datetime | None, str]:
    """A naive local time in UTC with a note; None and the reason where the clocks skip it or show it twice."""
    if tz.datetime_ambiguous(local, zone.tz):  # true of skipped hours too: zoneinfo gives them two offsets as well
        what = "occurs twice" if tz.datetime_exists(local, zone.tz) else "does not exist"
        return None, f"{local:%H:%M} {what} in {zone.name} on {local:%Y-%m-%d}: the clocks change"
    here = local.replace(tzinfo=zone.tz)
    try:
        when = here.astimezone(UTC)
    except (OverflowError, ValueError):
        return None, "the time is out of range"
    return when, _out_of_season(when, zone, here.utcoffset())


@dataclass(frozen=True, slots=True)
class ClockChange:
    """An hour that the clocks skip or show twice."""

    hour: str
    """As written: `02:30`."""
    day: date
    twice: datetime | None
    """The first of the two, in UTC; None for an hour that is skipped."""


def clock_change(note: str) -> ClockChange | None:
    """What a note of `to_utc` says of a change of the clocks; None for any other note."""
    found = _CHANGE.search(note)
    zone = source_zone(found[3]) if found else None
    if found is None or zone is None:
        return None
    local = datetime.fromisoformat(f"{found[4]}T{found[1]}").replace(tzinfo=zone.tz)
    return ClockChange(found[1], local.date(), local.astimezone(UTC) if found[2] == "occurs twice" else None)


def _out_of_season(when: datetime, zone: Zone, offset: timedelta | None) -> str:
    region = source_zone(zone.region)
    if region is None or when.astimezone(region.tz).utcoffset() == offset:
        return ""
    return f"{zone.name} taken as a fixed offset, though it is not in force in {zone.region} that day"


@once
def _names(words: Mapping[str, Any]) -> _Names:
    zones, hours = words["zones"], "|".join(map(re.escape, map(folded, words["clock"]["after"])))
    regional = {name if name.isupper() else folded(name): zone for name, zone in zones["regional"].items()}
    phrases = "|".join(map(re.escape, sorted((name for name in regional if not name.isupper()), key=len, reverse=True)))
    return _Names(
        fixed={name: (minutes, region) for name, (minutes, region) in zones["fixed"].items()},
        regional=regional,
        shared=frozenset(zones["shared"]["names"]),
        phrase=re.compile(rf"(?:{phrases})(?![a-z])"),
        lead=re.compile(rf"[\s,]*(?:(?!{phrases})(?:{hours})(?![a-z]))?[\s,]*\(?\s*"),
    )


def _is_offset(found: re.Match[str], seconds: bool) -> bool:
    if found["named"]:
        return True
    if len(found["h"]) != 2:
        return False
    return found["sign"] == "+" or seconds or (found["m"] is not None and not found["colon"])


def _from_offset(found: re.Match[str]) -> ZoneFound:
    offset = offset_of(found["sign"], int(found["h"]), int(found["m"] or 0))
    if offset is None:
        return ZoneFound(None, found.end(), f"{found[0].strip()} is not an offset from UTC")
    name = f"UTC{found['sign']}{int(found['h']):02d}:{found['m'] or '00'}"
    return ZoneFound(Zone(name, timezone(offset)), found.end())


def _named(name: str, end: int) -> ZoneFound:
    zone = source_zone(name)
    return ZoneFound(zone, end, "" if zone else f"the time zone {name} is not known")


def _abbreviation(written: str, end: int, names: _Names, source: str) -> ZoneFound:
    name = written.upper()
    known = name in names.fixed or name in names.shared or name in names.regional
    if not written.isupper() and (not known or len(name) < 3):
        return ZoneFound(None, end - len(written))
    own = _in_use(name, source)
    if own is not None:
        return ZoneFound(Zone(name, timezone(own), source), end)
    if name in names.regional:
        return _named(names.regional[name], end)
    if name in names.fixed:
        minutes, region = names.fixed[name]
        return ZoneFound(Zone(name, timezone(timedelta(minutes=minutes)), region), end)
    if name in names.shared:
        return ZoneFound(None, end, f"{name} names several zones: set the source's time zone")
    return ZoneFound(None, end, f"{name} after the time is not a known zone")


@lru_cache(maxsize=512)
def _in_use(name: str, source: str) -> timedelta | None:
    """The offset of an abbreviation by the source's own zone: CST is another time in Asia."""
    zone = source_zone(source)
    if zone is None or source == "UTC":
        return None
    days = (datetime(2026, month, 1, tzinfo=zone.tz) for month in (1, 7))
    return next((day.utcoffset() for day in days if day.tzname() == name), None)
