"""Pieces that were won or bought. Durable."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from datetime import datetime

from watchlist.core.money.amount import Money
from watchlist.shelf.records import dumps, loads
from watchlist.shelf.store.connection import Connection


@dataclass(frozen=True, slots=True)
class Purchase:
    """A piece that was won or bought."""

    lot: str
    issue: str
    paid: Money
    """All-in, home currency."""
    at: datetime
    grade_low: int | None = None
    grade_high: int | None = None
    want: str = ""
    note: str = ""


class Purchases:
    """The purchases, one a lot."""

    def __init__(self, db: Connection) -> None:
        self._db = db

    def put(self, purchase: Purchase) -> None:
        """Keep a purchase, in the place of an earlier one of the same lot."""
        with self._db.writing(durable=True):
            self._db.run(
                "INSERT INTO purchases(lot, data) VALUES (?, ?) ON CONFLICT(lot) DO UPDATE SET data = excluded.data",
                (purchase.lot, dumps(purchase)),
            )

    def drop(self, lot: str) -> bool:
        """Take a purchase out; False when there was none."""
        with self._db.writing(durable=True):
            return self._db.many("DELETE FROM purchases WHERE lot = ?", [(lot,)]) > 0

    def all(self) -> list[Purchase]:
        """All purchases in the order in which they were made."""
        return [loads(Purchase, data) for (data,) in self._db.rows("SELECT data FROM purchases ORDER BY id")]

    def by_want(self) -> Counter[str]:
        """How many pieces were bought for each want; one that is not named has none."""
        return Counter(each.want for each in self.all() if each.want)
