"""A venue's file of results: which lot a row means, and the results written as one entry of the list."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from datetime import date

from watchlist.core.decisions import review
from watchlist.core.decisions.bids import has_ended
from watchlist.core.imports.cells import quoted
from watchlist.core.imports.context import LotMeant
from watchlist.core.imports.record import CellError, Row
from watchlist.core.imports.results import ResultRow
from watchlist.desk.changes import Change
from watchlist.desk.desk import Desk
from watchlist.desk.in_hand import bidding, losses
from watchlist.desk.in_hand.hands import sale_day
from watchlist.desk.recording import record
from watchlist.desk.results import results
from watchlist.page.wording import local
from watchlist.shelf.store.rows import LotRow

LIKE = 50
"""Lots of one number that are looked at."""


def lot_meant(desk: Desk, venue: str) -> Callable[[Row, date | None], LotMeant]:
    """What finds the lot of a row by its number, its venue (of the row, else this one), its sale and its day."""
    standing = desk.shelf.store.decisions.review().lots

    def meant(row: Row, day: date | None) -> LotMeant:
        found = _one(desk, row, row.get("source") or venue, day)
        lot, stands = found.lot, standing.get(found.lot.key)
        if not has_ended(lot, desk.now) and lot.closes is not None:
            raise CellError(f"{lot.key} has not closed yet: closes {local(lot.closes, desk.settings.home.time_zone)}")
        won = stands.amount if stands is not None and stands.state == "won" else None
        stood = lot.price if lot.price_kind == "so far" else None
        return LotMeant(lot.key, bidding.sale_currency(desk, found), stood, stands.placed if stands else None, won)

    return meant


def _one(desk: Desk, row: Row, venue: str, day: date | None) -> LotRow:
    """The lot of a number at a venue. Raises CellError for none and for several."""
    number, store = row.get("lot_id"), desk.shelf.store
    if not venue:
        raise CellError("the venue is missing: name it with --venue")
    like = [
        each
        for each in store.lots.by_key(store.lots.find(number, LIKE)).values()
        if number in (each.lot.id, each.lot.key) and each.lot.venue.casefold() == venue.casefold()
    ]
    found = list(_narrowed(desk, like, row.get("sale"), day))
    if len(found) == 1:
        return found[0]
    if found:
        keys = ", ".join(each.lot.key for each in found)
        raise CellError(
            f"{quoted(number)} may be several lots of {venue}: {keys}; add a column with the day of the sale"
        )
    raise CellError(f"no lot {quoted(number)} of {venue} is known{' on that day' if like else ''}")


def _narrowed(desk: Desk, like: Sequence[LotRow], sale: str, day: date | None) -> Iterator[LotRow]:
    """Those of the sale and the day that are named; of several those that the person decided on."""
    fit = [
        each
        for each in like
        if (day is None or sale_day(desk, each.lot) in (day, None))
        and (not sale or not each.lot.sale or each.lot.sale.casefold() == sale.casefold())
    ]
    decided = [each for each in fit if each.state in ("bid", "won", "lost", "followed")]
    return iter(decided if len(decided) == 1 else fit)


def keep_results(desk: Desk, change: Change, rows: Iterable[ResultRow]) -> tuple[int, list[str]]:
    """Write the results that are not there already, all in the stroke of the change; how many were there."""
    given = list(rows)
    standing = desk.shelf.store.decisions.review().lots
    new = [row for row in given if not _stands(standing.get(row.lot), row)]
    if new:
        change.decided()
        record(desk, [line for row in new for line in _lines(desk, change, row)])
        results.follow(desk, [row.lot for row in new])
    return len(given) - len(new), [*filter(None, (losses.hint(desk) if new else "",))]


def _lines(desk: Desk, change: Change, row: ResultRow) -> Sequence[review.Decision]:
    return review.decide(row.outcome, [row.lot], batch=change.batch, at=desk.now, amount=row.price, day=row.on)


def _stands(stands: review.Standing | None, row: ResultRow) -> bool:
    """The list says so already."""
    if stands is None or stands.stage == review.PROVISIONAL:
        return False
    return (review.STATES[row.outcome], row.price) == (stands.state, stands.amount)
