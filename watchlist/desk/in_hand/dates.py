"""All dates to come: each provider gives those of one kind."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta

from watchlist.core.calendar.days import ends
from watchlist.core.calendar.entries import is_over
from watchlist.core.calendar.record import Dated
from watchlist.core.clean import clean
from watchlist.core.decisions.bids import has_ended
from watchlist.core.fees.terms import USUAL_HOURS
from watchlist.core.held.course import ParcelCourse
from watchlist.core.held.deadlines import UNDECIDED, Deadline, deadlines
from watchlist.core.lots.address import safe_link
from watchlist.core.times.zones import clock_change, source_zone
from watchlist.desk.desk import Desk
from watchlist.desk.in_hand import courses
from watchlist.desk.in_hand.committed import waits
from watchlist.desk.naming import piece_of, short_key
from watchlist.page.deadlines import last_day
from watchlist.page.piece import where
from watchlist.shelf.store.rows import LotRow


@dataclass(frozen=True, slots=True)
class Dates:
    """The dates to come, soonest first, and what has none."""

    coming: tuple[Dated, ...]
    left_out: tuple[str, ...]
    """A sentence for each lot that stands in no calendar, or without its hour."""


def dates(desk: Desk) -> Dates:
    """All dates of the shelf that are still to come."""
    today = desk.local_today()
    found = [each for provider in PROVIDERS for each in provider(desk) if not is_over(each, desk.now, today)]
    found.sort(key=lambda each: (each.day, each.at is not None, each.at or desk.now, each.what))
    said = [f"{each.what}: {each.note}." for each in found if each.note and each.kind in ("close", "own")]
    return Dates(tuple(found), (*said, *_undated(desk)))


def closings(desk: Desk) -> Iterator[Dated]:
    """When lots close that are followed or bid on."""
    for row in _in_hand(desk):
        when = _closing(desk, row)
        if when is not None:
            yield _of_lot(row, "close", f"Closes: {_named(desk, row)}", when)


def places(desk: Desk) -> Iterator[Dated]:
    """By when a planned bid has to be with the venue; one that waits for a loss is not to be placed yet."""
    standing, later = desk.shelf.store.decisions.review().lots, waits(desk)
    for row in _in_hand(desk):
        planned = standing[row.lot.key].stage == "planned" and row.lot.key not in later
        if planned and row.lot.closes is not None:
            by = row.lot.closes - bids_by(desk, row.lot.venue)
            yield _of_lot(row, "place", f"Place your bid by this hour: {_named(desk, row)}", _When(_day(desk, by), by))


def reminders(desk: Desk) -> Iterator[Dated]:
    """What the person wrote into the calendar."""
    for line in desk.shelf.store.decisions.in_force("remind"):
        day, _, hour = line.target.partition("T")
        at = datetime.fromisoformat(line.target) if hour else None
        what, _, note = line.note.partition("\n")
        yield Dated(
            "own", line.batch, what, date.fromisoformat(day) if at is None else _day(desk, at), at, not note, note
        )


def parcel_days(desk: Desk) -> Iterator[Dated]:
    """Last days to pay, to expect a parcel, to return or report a piece; one to pay that has passed is today's.

    A window to return closes with the last piece that is kept, sold or gone back."""
    known = courses.told(desk)
    won = {each.key: each for each in courses.wins(desk, courses.closed(known))}
    for course in known.parcels.values():
        pieces = [won[lot] for lot in course.lots if lot in won]
        if pieces:
            waits = any(known.piece(each.key).state in UNDECIDED for each in pieces)
            yield from _last_days(desk, course, pieces[0].lot.venue, waits=waits)


def _last_days(desk: Desk, course: ParcelCourse, venue: str, *, waits: bool) -> Iterator[Dated]:
    """Those of one parcel. `waits`: a piece of it may still go back."""
    today = desk.local_today()
    for last in deadlines(course, desk.terms.get(venue), waits=waits):
        late = last.day < today and last.kind in ("pay", "arrive")
        what = f"{last_day(last, today)}{_over_first(desk, last, venue)}: {course.id}, {clean(venue)}"
        yield Dated(last.kind, course.id, what, today if late else last.day, rings=not late)


def back_by(desk: Desk, lot: str) -> tuple[str, ...]:
    """By when the piece that came as this lot can go back or be reported, in sentences; none once it is decided on."""
    known = courses.told(desk)
    course = courses.closed(known).get(lot)
    if course is None or course.arrived is None or known.piece(lot).state not in UNDECIDED:
        return ()
    row, today = desk.shelf.store.lots.get(lot), desk.local_today()
    venue = row.lot.venue if row else ""
    said = tuple(
        f"{last_day(last, today)}{_over_first(desk, last, venue)}: {course.id}, {clean(venue)}."
        for last in deadlines(course, desk.terms.get(venue))
        if last.kind in ("return", "report")
    )
    return said or (f"How long a piece can go back to {clean(venue)} is not in its terms: see its conditions.",)


def _over_first(desk: Desk, last: Deadline, venue: str) -> str:
    """`, until 15:59 here` where the venue's last day is over before one's own."""
    terms, home = desk.terms.get(venue), desk.settings.home.zone
    zone = source_zone(terms.time_zone) if terms and terms.time_zone else None
    if zone is None or last.kind not in ("return", "report"):
        return ""
    over = ends(last.day, home, zone.tz).astimezone(home)
    return "" if over == ends(last.day, home) else f", until {over:%H:%M} here"


PROVIDERS: tuple[Callable[[Desk], Iterable[Dated]], ...] = (closings, places, reminders, parcel_days)
"""A line for each kind of date."""


def bids_by(desk: Desk, venue: str) -> timedelta:
    """How long before a closing the venue wants a bid."""
    terms = desk.terms.get(venue)
    return timedelta(hours=terms.hours_before if terms else USUAL_HOURS)


@dataclass(frozen=True, slots=True)
class _When:
    day: date
    at: datetime | None = None
    note: str = ""


def _closing(desk: Desk, row: LotRow) -> _When | None:
    """When a lot closes; an hour that the clocks skip leaves the day, of one shown twice the first counts."""
    if row.lot.closes is not None:
        return _When(_day(desk, row.lot.closes), row.lot.closes)
    change = clock_change(row.lot.closes_note)
    if change is None:
        return None
    if change.twice is not None:
        return _When(_day(desk, change.twice), change.twice, f"the clocks show {change.hour} twice: the first counts")
    return _When(change.day, None, f"{change.hour} on {change.day} is an hour that the clocks skip: no alarm")


def _of_lot(row: LotRow, kind: str, what: str, when: _When) -> Dated:
    link = safe_link(row.lot.link)
    rings = when.at is not None or not when.note
    return replace(Dated("close", row.lot.key, what, when.day, when.at, rings, when.note, link), kind=kind)  # type: ignore[arg-type]


def _in_hand(desk: Desk) -> Iterator[LotRow]:
    """Lots that are followed or bid on and have not ended."""
    store = desk.shelf.store
    for key, stands in store.decisions.review().lots.items():
        row = store.lots.get(key) if stands.state in ("followed", "bid") else None
        if row is not None and not has_ended(row.lot, desk.now):
            yield row


def _undated(desk: Desk) -> Iterator[str]:
    for row in _in_hand(desk):
        if row.lot.price_kind != "fixed" and _closing(desk, row) is None:
            why = f" ({row.lot.closes_note})" if row.lot.closes_note else ""
            yield f"{short_key(desk.shelf.store, row.lot.key)} has no closing day{why}: it is in no calendar."


def _named(desk: Desk, row: LotRow) -> str:
    place = where(row.lot.venue, row.lot.id)
    return f"{piece_of(desk.catalogue, row)}{f' ({place})' if place else ''}"


def _day(desk: Desk, moment: datetime) -> date:
    return moment.astimezone(desk.settings.home.zone).date()
