"""When an entry closes: from its own field, its description or title; in the source's zone, the venue's or our own."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Any

from watchlist.core.fees.terms import Terms, known_zone
from watchlist.core.lots.entry import Entry
from watchlist.core.lots.source import Source
from watchlist.core.lots.trouble import Trouble
from watchlist.core.times.free_text import find_closing
from watchlist.core.times.text import Setting, TimeRead, read_time

MIDNIGHT = re.compile(r"[T ]0?0:00(?::00)?$")
"""Put behind a day by a spreadsheet, whose hour stands elsewhere."""


@dataclass(frozen=True, slots=True)
class Closing:
    """A closing time in UTC with the source's words for it; without one the note says why."""

    when: datetime | None = None
    text: str = ""
    note: str = ""
    ended: bool = False
    troubles: tuple[Trouble, ...] = ()
    """The entry's own field, when nothing could be made of it."""


def closing(
    entry: Entry,
    source: Source,
    terms: Terms | None,
    *,
    words: Mapping[str, Any],
    now: datetime,
    home_zone: str,
) -> Closing:
    """The closing time of an entry: of its own field, else of its description, else of its title."""
    zone = _zone(entry, source, terms) or home_zone
    text = _stated(entry)
    setting = Setting(words, now, zone, source.date_order or entry.fields.get("date_order") or None, source.day_end)
    field = _field(text, entry.fields.get("time_zone", "").strip(), setting) if text else None
    if field and (field.when or field.ended):
        return Closing(field.when, text, field.note, field.ended)
    found = (find_closing(entry.description, setting) if entry.description else None) or find_closing(
        entry.title, setting
    )
    if found and (found.when or found.ended):
        return Closing(found.when, "", found.note, found.ended)
    if field:
        trouble = Trouble("no time", facts={"text": text[:60], "why": field.note})
        return Closing(None, text, field.note, troubles=(trouble,))
    return Closing(None, "", found.note if found else "")


def _stated(entry: Entry) -> str:
    """The entry's own closing time; a day and an hour in columns of their own are put together."""
    day, hour = (entry.fields.get(name, "").strip() for name in ("ends_at", "ends_time"))
    day = MIDNIGHT.sub("", day) if hour else day
    return f"{day} {hour}" if day and hour and ":" not in day else day


def _field(text: str, zone: str, setting: Setting) -> TimeRead:
    """The entry's own field; a zone given in short (`CET`) belongs to the text, unless the text names one itself."""
    if zone and not _is_place(zone):
        own = read_time(text, replace(setting, zone=""))
        return own if own.when or own.ended else read_time(f"{text} {zone}", setting)
    return read_time(text, setting)


def _is_place(zone: str) -> bool:
    """A name of the zone database with a place in it; a short one is a fixed offset, not a place's changing clock."""
    return "/" in zone and known_zone(zone)


def _zone(entry: Entry, source: Source, terms: Terms | None) -> str:
    """The first zone that is stated and known: the entry's, the source's, the venue's; else empty."""
    own = entry.fields.get("time_zone", "").strip()
    if _is_place(own):
        return own
    stated = (source.time_zone, terms.time_zone if terms else "")
    return next((zone for zone in stated if zone and known_zone(zone)), "")
