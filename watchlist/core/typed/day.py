"""A day that a person types, with an hour or without."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from watchlist.core.times.text import NO_HOUR, Setting, read_time
from watchlist.core.times.zones import clock_change, source_zone
from watchlist.core.typed.words import TypedError


@dataclass(frozen=True, slots=True)
class DayTyped:
    """A day by the person's own calendar."""

    day: date
    at: datetime | None = None
    """The hour, in UTC; None for a whole day."""
    note: str = ""
    """What was made of an hour that the clocks skip or show twice."""


def day_typed(text: str, tables: Mapping[str, Any], now: datetime, zone: str) -> DayTyped:
    """`2026-03-29`, `29 Mar 2026 14:00`, `tomorrow`, by the clocks of the zone. Raises TypedError for all else.

    An hour that the clocks skip leaves a whole day; of one that they show twice the first counts."""
    read = read_time(text, Setting(tables["times"], now, zone))
    home = source_zone(zone)
    assert home is not None, "the settings hold a zone that is known"
    if read.when is not None:
        return DayTyped(read.when.astimezone(home.tz).date(), read.when)
    if change := clock_change(read.note):
        how = "twice: the first counts" if change.twice else "not at all: no alarm"
        return DayTyped(change.day, change.twice, f"the clocks change and show {change.hour} {how}")
    if read.note == NO_HOUR:
        read = read_time(text, Setting(tables["times"], now, zone, day_end=True))
        if read.when is not None:
            return DayTyped(read.when.astimezone(home.tz).date())
    raise TypedError(f"`{text}` is not a valid day ({read.note}). Write 2026-03-29 or 2026-03-29 14:00")
