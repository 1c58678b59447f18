"""The calendar handed out as a file; what it held is remembered, so that a second import updates the first."""

from __future__ import annotations

import hashlib
import uuid
from dataclasses import dataclass
from datetime import timedelta
from pathlib import Path

from watchlist.core.calendar.entries import told, updated
from watchlist.core.calendar.record import Kept
from watchlist.desk.desk import Desk
from watchlist.desk.errors import DeskError
from watchlist.desk.in_hand.dates import Dates, dates
from watchlist.page import ics
from watchlist.shelf.records import from_data, to_data

KEPT = "calendar"
"""Name of the fact."""
HEAD = 4096
"""Bytes of a file that say whose it is."""


@dataclass(frozen=True, slots=True)
class HandedOut:
    """What a calendar file holds."""

    text: str
    dates: int
    cancelled: int
    found: Dates


def hand_out(desk: Desk, path: Path, days: int, *, replace: bool) -> HandedOut:
    """What a file holds of the dates of so many days ahead. Raises DeskError for a file of another shelf, unless
    `replace`. The shelf remembers first: a file that then cannot be written skips a number."""
    kept = _kept(desk)
    named = hashlib.sha256(kept.shelf.encode()).hexdigest()[:16]
    _refuse_other(path, named, replace=replace)
    found, today = dates(desk), desk.local_today()
    now = updated(kept, found.coming, desk.now, today, timedelta(days=days))
    desk.shelf.store.facts.put(KEPT, to_data(now))
    entries = told(now, desk.now, today)
    text = ics.calendar(entries, named, desk.settings.home.zone).decode()
    gone = sum(entry.gone is not None for entry in entries)
    return HandedOut(text, len(entries) - gone, gone, found)


def _kept(desk: Desk) -> Kept:
    data = desk.shelf.store.facts.get(KEPT)
    return from_data(Kept, data) if data else Kept(uuid.uuid4().hex)


def _refuse_other(path: Path, named: str, *, replace: bool) -> None:
    if replace or not path.is_file():  # what is not a plain file is refused when it is written
        return
    try:
        with path.open("rb") as file:
            whose = ics.shelf_of(file.read(HEAD).decode("utf-8", "replace"))
    except OSError as error:
        raise DeskError(f"{path} cannot be read ({error.strerror}). Nothing was written.") from error
    if whose != named:
        what = "is of another shelf" if whose else "is not a calendar of this shelf"
        raise DeskError(f"{path} {what}. Nothing was written; --replace writes over it.")
