"""The calendar handed out as a file; what it held is remembered, so that a second import updates the first."""

from __future__ import annotations

import hashlib
import uuid
from dataclasses import dataclass
from datetime import timedelta
from pathlib import Path

from watchlist.core.calendar.entries import told, updated
from watchlist.core.calendar.record import Kept
from watchlist.desk.dates import Dates, dates
from watchlist.desk.desk import Desk
from watchlist.desk.errors import DeskError
from watchlist.desk.own_files import head_of, write_whole
from watchlist.page import ics
from watchlist.shelf.records import from_data, to_data

KEPT = "calendar"
"""Name of the fact."""
HEAD = 4096
"""Bytes of a file that say whose it is."""


@dataclass(frozen=True, slots=True)
class HandedOut:
    """What a calendar file holds."""

    dates: int
    cancelled: int
    found: Dates


def hand_out(desk: Desk, path: Path, days: int, *, replace: bool) -> HandedOut:
    """Write the dates of so many days ahead into a file. Raises DeskError for a file that this shelf did not write,
    unless `replace`. The shelf remembers first: a file that could not be written skips a number at most."""
    kept = _kept(desk)
    named = hashlib.sha256(kept.shelf.encode()).hexdigest()[:16]
    _refuse_other(path, named, replace=replace)
    found, today = dates(desk), desk.local_today()
    now = updated(kept, found.coming, desk.now, today, timedelta(days=days))
    desk.shelf.store.facts.put(KEPT, to_data(now))
    entries = told(now, desk.now, today)
    write_whole(path, ics.calendar(entries, named, desk.settings.home.zone))
    gone = sum(entry.gone is not None for entry in entries)
    return HandedOut(len(entries) - gone, gone, found)


def _kept(desk: Desk) -> Kept:
    data = desk.shelf.store.facts.get(KEPT)
    return from_data(Kept, data) if data else Kept(uuid.uuid4().hex)


def _refuse_other(path: Path, named: str, *, replace: bool) -> None:
    there = None if replace else head_of(path, HEAD)
    if there is None:
        return
    whose = ics.shelf_of(there.decode("utf-8", "replace"))
    if whose != named:
        what = "is of another shelf" if whose else "is not a calendar of this shelf"
        raise DeskError(f"{path} {what}. Nothing was written; --replace writes over it.")
