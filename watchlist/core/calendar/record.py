"""A date to keep, and how it stands in the calendar that was handed out."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from typing import Literal

Kind = Literal["close", "place", "pay", "arrive", "return", "report", "own"]


@dataclass(frozen=True, slots=True)
class Dated:
    """Something that happens at an hour or on a day. No amount and no place stands in it: calendars are shared."""

    kind: Kind
    key: str
    """Of the lot, the parcel or the person's own note: with the kind it tells one date from all others."""
    what: str
    """One line: `Closes: 5 tor 1891-M (Lindmoor Auctions, lot 212)`."""
    day: date
    """By the person's own calendar."""
    at: datetime | None = None
    """The hour, aware; None for a whole day."""
    rings: bool = True
    """False where no hour is sure enough for an alarm."""
    note: str = ""
    """Why it does not ring, or what was assumed."""
    link: str = ""


@dataclass(frozen=True, slots=True)
class Entry:
    """A date as the last calendar had it (RFC 5545)."""

    uid: str
    sequence: int
    """Goes up by one with each change, so that a second import takes the place of the first."""
    changed: datetime
    """When it was last changed."""
    event: Dated
    gone: date | None = None
    """The day from which on it is told as cancelled."""


@dataclass(frozen=True, slots=True)
class Kept:
    """The calendar that was handed out last, as the shelf remembers it."""

    shelf: str
    """A name of the shelf that means nothing elsewhere."""
    entries: tuple[Entry, ...] = ()
