"""A lot as the store keeps it: whole for the Ticket, as one line for lists."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from decimal import Decimal

from watchlist.core.decisions.review import State
from watchlist.core.lots.record import Lot, PriceKind
from watchlist.core.marks.record import Judgement, Mark
from watchlist.core.money.amount import Money
from watchlist.core.reading.record import Reading
from watchlist.shelf.records import dumps, loads
from watchlist.shelf.store.connection import Connection, Row, plain, torn
from watchlist.shelf.store.filters import DOUBTS, MARKS, UNDATED, Place, epoch


@dataclass(frozen=True, slots=True)
class LotRow:
    """A lot with its reading and all that is thought of it."""

    lot: Lot
    reading: Reading
    judgement: Judgement | None = None
    state: State = "new"
    fingerprint: str = ""
    """Equal for a lot and its relisting under another id; empty when it cannot be told."""


@dataclass(frozen=True, slots=True)
class LotLine:
    """What one line of a list shows; read without touching the whole record."""

    key: str
    source: str
    venue: str
    seller: str
    title: str
    closes: datetime | None
    kind: PriceKind | None
    price: Money | None
    all_in: float | None
    """Home currency."""
    gap: float | None
    mark: Mark | None
    also: tuple[str, ...]
    doubt: str
    state: State
    issue: str
    grade_low: int | None
    grade_high: int | None
    details: bool
    """A details grade."""
    first_seen: datetime | None
    last_seen: datetime | None
    place: Place
    """Hand it to the next `lines` as `after` to read on from here."""


PLACE = "due, title, gap, all_in, mark, id"
LINE = (
    "key, source, venue, seller, title, closes, kind, price, currency, all_in, gap, mark, also, doubt, state, issue, "
    f"grade_low, grade_high, details, first_seen, last_seen, {PLACE}"
)
LOT_COLUMNS = (
    *("key", "source", "own_id", "venue", "seller", "title", "closes", "due", "kind", "price", "currency"),
    *("first_seen", "last_seen", "fingerprint", "service", "cert", "details"),
)
JUDGED_COLUMNS = ("all_in", "gap", "mark", "also", "doubt", "issue", "grade_low", "grade_high")


def lot_values(row: LotRow) -> Row:
    """The cells of LOT_COLUMNS."""
    lot, price = row.lot, row.lot.price
    first = epoch(lot.first_seen) if lot.first_seen else 0
    closes = epoch(lot.closes) if lot.closes else None
    return (
        lot.key,
        lot.source,
        lot.id,
        lot.venue,
        plain(lot.seller),
        plain(lot.title),
        closes,
        UNDATED - first if closes is None else closes,
        lot.price_kind,
        str(price.amount) if price else None,
        price.currency if price else None,
        first,
        epoch(lot.last_seen) if lot.last_seen else first,
        row.fingerprint,
        plain(row.reading.service or ""),
        plain(row.reading.cert_number or ""),
        int(row.reading.details),
    )


def judged_values(judgement: Judgement | None) -> Row:
    """The cells of JUDGED_COLUMNS."""
    if judgement is None:
        return (None, None, None, "", 0, "", None, None)
    return (
        float(judgement.all_in.amount) if judgement.all_in else None,
        float(judgement.gap) if judgement.gap is not None else None,
        MARKS.index(judgement.mark),
        " ".join(judgement.also),
        DOUBTS.index(judgement.doubt.level),
        judgement.issue or "",
        judgement.grade_low,
        judgement.grade_high,
    )


def texts(row: LotRow) -> tuple[str, str, str | None]:
    """The whole records as JSON: lot, reading, judgement."""
    return dumps(row.lot), dumps(row.reading), dumps(row.judgement) if row.judgement else None


def lot_alone(text: str, first: int) -> Lot:
    """From the cells lot and first_seen."""
    lot = loads(Lot, text)
    if lot.first_seen and epoch(lot.first_seen) > first:  # seen before: the first sight counts
        return replace(lot, first_seen=instant(first))
    return lot


def lot_row(row: Row) -> LotRow:
    """From the cells lot, reading, judgement, state, fingerprint, first_seen."""
    lot_text, reading, judgement, state, fingerprint, first = row
    lot = lot_alone(lot_text, first)
    judged = loads(Judgement, judgement) if judgement else None
    return LotRow(lot, loads(Reading, reading), judged, state, fingerprint)


def lot_line(row: Row) -> LotLine:
    """From the cells of LINE."""
    key, source, venue, seller, title, closes, kind, price, currency, all_in, gap = row[:11]
    mark, also, doubt, state, issue, low, high, details, first, last, *place, number = row[11:]
    return LotLine(
        key,
        source,
        venue,
        seller,
        title,
        instant(closes),
        kind,
        money(price, currency),
        all_in,
        gap,
        None if mark is None else MARKS[mark],
        tuple(also.split()),
        DOUBTS[doubt],
        state,
        issue,
        low,
        high,
        bool(details),
        instant(first or None),
        instant(last or None),
        Place(tuple(place), number),
    )


def lines_of(db: Connection, rows: Iterable[Row]) -> list[LotLine]:
    """The lines of the cells of LINE. Raises ShelfTorn."""
    try:
        return [lot_line(row) for row in rows]
    except (ArithmeticError, IndexError, ValueError, TypeError, AttributeError, OSError) as error:
        raise torn(db.path, f"a lot's line holds what it cannot: {error}") from error


def money(amount: str | None, currency: str) -> Money | None:
    """A price from its two cells."""
    return None if amount is None else Money(Decimal(amount), currency)


def instant(seconds: int | None) -> datetime | None:
    """An aware time from seconds since 1970."""
    return None if seconds is None else datetime.fromtimestamp(seconds, UTC)
