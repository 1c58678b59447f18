"""A calendar file (RFC 5545), written by the icalendar library: it folds lines, escapes text and names types."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import UTC, datetime, timedelta, tzinfo

from icalendar import Alarm, Calendar, Event

from watchlist.core.calendar.days import evening_before
from watchlist.core.calendar.record import Dated, Entry

BEFORE = (timedelta(hours=2), timedelta(minutes=15))
"""Alarms before an hour."""
SHELF = "X-WATCHLIST-SHELF"
"""Says which shelf wrote the file."""


def calendar(entries: Iterable[Entry], shelf: str, home: tzinfo) -> bytes:
    """The file: hours in UTC, whole days as dates, alarms. The same entries give the same bytes."""
    made = Calendar()
    for name, value in (("PRODID", "-//Watchlist//EN"), ("VERSION", "2.0"), ("METHOD", "PUBLISH"), (SHELF, shelf)):
        made.add(name, value)
    for entry in entries:
        made.add_component(_event(entry, home))
    body: bytes = made.to_ical()
    return body


def _event(entry: Entry, home: tzinfo) -> Event:
    date, event = entry.event, Event()
    for name, value in (
        ("UID", entry.uid),
        ("SEQUENCE", entry.sequence),
        ("DTSTAMP", _utc(entry.changed)),
        ("DTSTART", _utc(date.at) if date.at is not None else date.day),
        ("SUMMARY", date.what),
        ("STATUS", "CANCELLED" if entry.gone else "CONFIRMED"),
        ("TRANSP", "TRANSPARENT"),
        ("CLASS", "PRIVATE"),
        *((("DESCRIPTION", date.note),) if date.note else ()),
        *((("URL", date.link),) if date.link else ()),
    ):
        event.add(name, value)
    for when in () if entry.gone or not date.rings else _alarms(date, home):
        event.add_component(_alarm(when, date.what))
    return event


def _alarms(date: Dated, home: tzinfo) -> Iterable[timedelta | datetime]:
    if date.at is not None:
        return [-before for before in BEFORE]
    return [evening_before(date.day, home)]


def _alarm(when: timedelta | datetime, what: str) -> Alarm:
    alarm = Alarm()
    alarm.add("ACTION", "DISPLAY")
    alarm.add("DESCRIPTION", what)
    exact = {"VALUE": "DATE-TIME"} if isinstance(when, datetime) else {}  # a trigger is a length of time unless said
    alarm.add("TRIGGER", when, parameters=exact)
    return alarm


def _utc(moment: datetime) -> datetime:
    return moment.astimezone(UTC).replace(microsecond=0)


def shelf_of(head: str) -> str | None:
    """Which shelf wrote a file, by its first lines; None when no shelf did."""
    lines = (line.partition(":") for line in head.splitlines())
    return next((value.strip() for name, _, value in lines if name == SHELF), None)
