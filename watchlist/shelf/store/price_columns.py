"""Prices realised as cells of a table, a column a field: a million are kept and read without a text of each."""

from __future__ import annotations

import hashlib
from datetime import date
from decimal import Decimal, InvalidOperation
from math import isfinite

from watchlist.core.money.amount import Money
from watchlist.core.prices.many import Cells
from watchlist.core.prices.realised import PriceRealised
from watchlist.shelf.errors import RecordError
from watchlist.shelf.store.connection import Row, plain

PRICES = """CREATE TABLE prices(
    id INTEGER PRIMARY KEY AUTOINCREMENT, issue TEXT NOT NULL, sale_date TEXT NOT NULL, amount TEXT NOT NULL,
    currency TEXT NOT NULL, kind TEXT NOT NULL, grade_low INT, grade_high INT, grade_text TEXT NOT NULL,
    certified INT NOT NULL, service TEXT NOT NULL, cert TEXT NOT NULL, problems TEXT NOT NULL, venue TEXT NOT NULL,
    status TEXT NOT NULL, title TEXT NOT NULL, quantity INT NOT NULL, replica INT NOT NULL, origin TEXT NOT NULL,
    weight REAL NOT NULL, note TEXT NOT NULL, lot TEXT NOT NULL, digest BLOB NOT NULL UNIQUE,
    traits TEXT NOT NULL DEFAULT '')"""
COLUMNS = Cells._fields[1:]
"""All but the number."""
WHOLE = f"SELECT id, {', '.join(COLUMNS)} FROM prices"
"""What `price_from` reads."""
PUT = (
    f"INSERT INTO prices({', '.join(COLUMNS)}, digest) VALUES ({', '.join('?' * (len(COLUMNS) + 1))}) "
    "ON CONFLICT(digest) DO NOTHING"
)
SALE = slice(1, 17)
"""The cells that say what was sold, when and for how much: neither where that was read nor what was made of it."""
IDENTITY = slice(0, SALE.stop)
"""The same with the issue before them."""
_BETWEEN = ","
"""Between problems, and between traits: their names hold none."""


def cells_of(price: PriceRealised) -> Row:
    """The cells of a price, in the order of COLUMNS. Raises RecordError for an amount or weight that is none."""
    amount, weight = price.price.amount, price.weight
    if not amount.is_finite() or not isfinite(weight):
        raise RecordError(f"This price cannot be kept: {amount} at the weight {weight} is not a number.")
    return (
        plain(price.issue),
        price.sale_date.isoformat(),
        str(amount),
        price.price.currency,
        price.kind,
        price.grade_low,
        price.grade_high,
        plain(price.grade_text),
        int(price.certified),
        plain(price.service),
        plain(price.cert_number),
        _BETWEEN.join(price.problems),
        plain(price.venue),
        plain(price.status),
        plain(price.title),
        price.quantity,
        int(price.replica),
        plain(price.origin),
        weight,
        plain(price.note),
        plain(price.lot),
        plain(_BETWEEN.join(price.traits)),
    )


def price_from(row: Row) -> PriceRealised:
    """A price from the cells that WHOLE asks for. Raises RecordError for cells that hold none."""
    (number, issue, day, amount, currency, kind, low, high, grade_text, certified, service, cert, problems, venue,
     status, title, quantity, replica, origin, weight, note, lot, traits) = row  # fmt: skip
    try:
        return PriceRealised(
            number, issue, date.fromisoformat(day), Money(Decimal(amount), currency), kind, low, high, grade_text,
            bool(certified), service, cert, tuple(problems.split(_BETWEEN)) if problems else (), venue, status, title,
            quantity, bool(replica), origin, weight, note, lot, tuple(traits.split(_BETWEEN)) if traits else (),
        )  # fmt: skip
    except (ValueError, TypeError, AttributeError, InvalidOperation) as error:
        raise RecordError(f"The kept price {number} cannot be read: {error}.") from error


def digest(content: bytes, ordinal: int) -> bytes:
    """What tells a price from all others: what it says, and which of several that say this it is."""
    return hashlib.sha256(content + b"#%d" % ordinal).digest()[:16]


def content_of(cells: Row) -> bytes:
    """What a price's cells say of the sale but for its issue, as bytes that are equal for equal sales."""
    return "\0".join(map(str, cells[SALE])).encode()


def identity_of(cells: Row) -> bytes:
    """The issue and what the cells say of the sale; the lot's number tells those apart that have this in common."""
    return "\0".join(map(str, cells[IDENTITY])).encode()


def result_digest(lot: str) -> bytes:
    """What tells the person's own result of a lot from all other prices: one a lot, whatever it says."""
    return digest(plain(f"result {lot}").encode(), 0)
