"""What was said of parcels and pieces since the hammer, and the pieces that were won."""

from __future__ import annotations

from collections.abc import Container, Iterable, Iterator
from datetime import date
from decimal import Decimal
from typing import Literal, get_args

from watchlist.core.decisions.review import PROVISIONAL, Decision, ParcelVerb, PieceVerb, Standing, Verb
from watchlist.core.held.course import Courses, ParcelCourse, courses
from watchlist.core.held.piece import Won, stock_number
from watchlist.core.lots.record import Lot
from watchlist.core.reading.record import Reading
from watchlist.desk.desk import Desk
from watchlist.desk.errors import DeskError

AFTER: tuple[Verb, ...] = (*get_args(ParcelVerb), *get_args(PieceVerb), "clear")


def told(desk: Desk) -> Courses:
    """All courses by the decisions in force."""
    return courses(desk.shelf.store.decisions.in_force(*AFTER))


def wins(desk: Desk, keys: Container[str] | None = None) -> Iterator[Won]:
    """All pieces won for good, in the order in which that was first said. `keys`: only these lots."""
    store = desk.shelf.store
    for line, first in _won_lines(desk):
        if keys is not None and line.lot not in keys:
            continue
        row, then = store.lots.get(line.lot), store.decisions.snapshot(line.seq)
        lot = then.lot or (row.lot if row else None)
        if lot is not None:
            judged = then.judgement or (row.judgement if row else None)
            reading = row.reading if row else Reading(lot.title)
            yield Won(line, lot, reading, judged, day_of(desk, lot, line), first)


def _won_lines(desk: Desk) -> Iterator[tuple[Decision, int]]:
    """Of each piece won for good the decision that says so now, and the number of the one that first did."""
    standing = desk.shelf.store.decisions.review().lots
    lines = [line for line in desk.shelf.store.decisions.in_force("won") if _won(standing.get(line.lot))]
    last, first = {line.lot: line for line in lines}, {line.lot: line.seq for line in reversed(lines)}
    return ((last[lot], seq) for lot, seq in sorted(first.items(), key=lambda each: each[1]))


def numbered(desk: Desk, text: str) -> str | None:
    """The lot of the piece with this stock number; None where the text is none that is given."""
    number = text.strip().casefold()
    return next((line.lot for line, first in _won_lines(desk) if stock_number(line, first).casefold() == number), None)


def _won(standing: Standing | None) -> bool:
    return standing is not None and standing.state == "won" and standing.stage != PROVISIONAL


def day_of(desk: Desk, lot: Lot, line: Decision) -> date:
    """The day of a result: as it was said, else that of the closing, or of the decision if it came first."""
    zone = desk.settings.home.zone
    return line.day or min((lot.closes or line.at).astimezone(zone).date(), line.at.astimezone(zone).date())


def cost(desk: Desk, course: ParcelCourse) -> tuple[Decimal, Literal["paid", "invoiced"]] | None:
    """What a parcel cost: what was paid, and what is still owed of its invoice at today's rate; home currency. None
    where neither an invoice nor a payment was told, and without a rate."""
    owed = course.owed
    if owed is None:
        return (course.paid, "paid") if course.payments else None
    fx = desk.rates.to_home_factor(owed.currency, desk.now.date())
    return None if fx is None else (course.paid + round(owed.amount * fx, 2), "invoiced")


def refuse_invoiced(desk: Desk, lots: Iterable[str]) -> None:
    """Raises DeskError for a lot whose parcel was invoiced or paid: its win cannot be taken back under the invoice."""
    there = closed(told(desk))
    for lot in lots:
        course = there.get(lot)
        if course is not None and (course.invoiced is not None or course.payments):
            raise DeskError(
                f"{course.id} is {course.state}: undo that before {lot} is taken back. Nothing was written."
            )


def closed(known: Courses) -> dict[str, ParcelCourse]:
    """By lot: the parcel that was invoiced or sent with it, which nothing joins any more but by hand."""
    return {lot: course for course in known.parcels.values() for lot in course.lots}
