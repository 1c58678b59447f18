"""What was said of parcels and pieces since the hammer, and the pieces that were won."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from typing import get_args

from watchlist.core.decisions.review import PROVISIONAL, Decision, ParcelVerb, PieceVerb, Standing, Verb
from watchlist.core.held.course import Courses, ParcelCourse, courses
from watchlist.core.lots.record import Lot
from watchlist.core.marks.record import Judgement
from watchlist.desk.desk import Desk
from watchlist.shelf.store.rows import LotRow

AFTER: tuple[Verb, ...] = (*get_args(ParcelVerb), *get_args(PieceVerb), "clear")


@dataclass(frozen=True, slots=True)
class Won:
    """A piece that was won, with what was known of it then."""

    line: Decision
    """The decision that says so."""
    lot: Lot
    row: LotRow | None
    """The lot as it is kept now; None where its source is gone with all its lots."""
    judged: Judgement | None
    day: date
    """Of the sale."""
    number: int
    """Of the decision that first said so: another result later does not change it."""

    @property
    def key(self) -> str:
        """The lot's key."""
        return self.line.lot

    @property
    def stock_no(self) -> str:
        """What the piece is called once it is in the house: `S-014`."""
        return self.line.facts.get("stock") or f"S-{self.number:03}"


def told(desk: Desk) -> Courses:
    """All courses by the decisions in force."""
    return courses(desk.shelf.store.decisions.in_force(*AFTER))


def wins(desk: Desk) -> Iterator[Won]:
    """All pieces won for good, in the order in which that was first said."""
    store = desk.shelf.store
    standing = store.decisions.review().lots
    lines = [line for line in store.decisions.in_force("won") if _won(standing.get(line.lot))]
    last, first = {line.lot: line for line in lines}, {line.lot: line.seq for line in reversed(lines)}
    for line in sorted(last.values(), key=lambda each: first[each.lot]):
        row, then = store.lots.get(line.lot), store.decisions.snapshot(line.seq)
        lot = then.lot or (row.lot if row else None)
        if lot is not None:
            judged = then.judgement or (row.judgement if row else None)
            yield Won(line, lot, row, judged, day_of(desk, lot, line), first[line.lot])


def numbered(desk: Desk, text: str) -> Won | None:
    """The piece of a stock number; None where the text is none that is given."""
    return next((each for each in wins(desk) if each.stock_no.casefold() == text.strip().casefold()), None)


def _won(standing: Standing | None) -> bool:
    return standing is not None and standing.state == "won" and standing.stage != PROVISIONAL


def day_of(desk: Desk, lot: Lot, line: Decision) -> date:
    """The day of a result: as it was said, else that of the closing, or of the decision if it came first."""
    zone = desk.settings.home.zone
    return line.day or min((lot.closes or line.at).astimezone(zone).date(), line.at.astimezone(zone).date())


def closed(known: Courses) -> dict[str, ParcelCourse]:
    """By lot: the parcel that was invoiced or sent with it, which nothing joins any more but by hand."""
    return {lot: course for course in known.parcels.values() for lot in course.lots}
