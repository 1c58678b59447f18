"""A calendar that is handed out again: names stay, what has changed counts up, what is gone is told as cancelled."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable
from dataclasses import replace
from datetime import date, datetime, timedelta

from watchlist.core.calendar.record import Dated, Entry, Kept

CANCELLED = timedelta(days=30)
"""How long a date that is gone is told as cancelled."""
REMEMBERED = timedelta(days=730)
"""How long a date is remembered after its day: a lot that is offered again goes on counting from there."""


def uid(shelf: str, date: Dated) -> str:
    """What names a date in every calendar (RFC 5545): the same as long as kind and key are the same."""
    named = hashlib.sha256(f"{shelf}\0{date.key}\0{date.kind}".encode()).hexdigest()[:20]
    return f"{date.kind}-{named}@watchlist.invalid"


def updated(kept: Kept, dates: Iterable[Dated], now: datetime, today: date, ahead: timedelta) -> Kept:
    """The calendar brought up to date. `dates` are all there are; new ones join when they are at most `ahead` away."""
    before = {entry.uid: entry for entry in kept.entries}
    coming = {uid(kept.shelf, each): each for each in dates}
    entries = []
    for name, each in coming.items():
        if name in before:
            entries.append(_again(before.pop(name), each, now))
        elif each.day <= today + ahead and not is_over(each, now, today):
            entries.append(Entry(name, 0, now, each))
    entries += [_missing(entry, now, today) for entry in before.values() if today - entry.event.day <= REMEMBERED]
    return replace(kept, entries=tuple(sorted(entries, key=lambda entry: (entry.event.day, entry.uid))))


def told(kept: Kept, now: datetime, today: date) -> list[Entry]:
    """What a calendar file holds: dates to come, and those gone of late."""
    return [entry for entry in kept.entries if _is_told(entry, now, today)]


def is_over(date: Dated, now: datetime, today: date) -> bool:
    """Its hour, or its day, has passed."""
    return date.at < now if date.at is not None else date.day < today


def _is_told(entry: Entry, now: datetime, today: date) -> bool:
    if entry.gone is not None:
        return today - entry.gone <= CANCELLED
    return not is_over(entry.event, now, today)


def _again(entry: Entry, date: Dated, now: datetime) -> Entry:
    if entry.event == date and entry.gone is None:
        return entry
    return Entry(entry.uid, entry.sequence + 1, now, date)


def _missing(entry: Entry, now: datetime, today: date) -> Entry:
    """A date to come that is there no more is cancelled; one that has passed was kept."""
    if entry.gone is not None or is_over(entry.event, now, today):
        return entry
    return replace(entry, sequence=entry.sequence + 1, changed=now, gone=today)
