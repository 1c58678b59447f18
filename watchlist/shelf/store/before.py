"""What lots were at the last gather that a person follows, bids on or wants: the morning tells what has changed.

Told afresh by each gather; nothing but the morning and the sift `changed` reads it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal

from watchlist.core.money.amount import Money
from watchlist.shelf.store.changed import CHANGED, CONCERN, GONE, TAKE
from watchlist.shelf.store.connection import Connection
from watchlist.shelf.store.filters import epoch
from watchlist.shelf.store.rows import instant, money


@dataclass(frozen=True, slots=True)
class Was:
    """What a lot was."""

    key: str
    price: Money | None
    kind: str | None
    closes: datetime | None
    mid: Decimal | None
    """The band's middle."""
    signs: frozenset[str]
    gone: bool
    """It is not listed any more, and was then."""


class Before:
    """The lots of concern as they were."""

    def __init__(self, db: Connection) -> None:
        self._db = db

    def take(self, since: datetime) -> None:
        """From now on the lots followed, bid on or wanted are compared with what they are at this moment, which is what
        they have been since the last gather."""
        with self._db.writing():
            self._db.run("DELETE FROM before")
            self._db.run(f"{TAKE} {CONCERN}", (epoch(since),))

    def add(self, keys: Iterable[str], now: datetime) -> None:
        """Compare these lots, too: they were over and come again."""
        with self._db.writing():
            self._db.many(f"{TAKE} l.key = ?2", ((epoch(now), key) for key in keys))

    def changed(self, now: datetime) -> list[Was]:
        """What those lots were that are something else now, closing soonest first."""
        sql = f"""SELECT l.key, b.price, b.currency, b.kind, b.closes, b.mid, b.signs, {GONE} > b.gone
            FROM before b JOIN lots l USING (id) WHERE l.id IN ({CHANGED}) ORDER BY l.due, l.id"""
        found = []
        for key, price, currency, kind, closes, mid, signs, gone in self._db.rows(sql, (epoch(now),)):
            middle = Decimal(str(mid)) if mid is not None else None
            was, names = money(price, currency), frozenset(signs.split())
            found.append(Was(key, was, kind, instant(closes), middle, names, bool(gone)))
        return found

    def has_changed(self, key: str, now: datetime) -> bool:
        """Whether this one has changed."""
        return bool(self._db.rows(f"SELECT 1 FROM lots WHERE key = ? AND id IN ({CHANGED})", (key, epoch(now))))
