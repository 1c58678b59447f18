"""What lots fell for, as the person recorded it: each is a price realised too. Durable."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import UTC, datetime

from watchlist.core.prices.realised import PriceRealised
from watchlist.shelf.store.connection import Connection
from watchlist.shelf.store.filters import epoch
from watchlist.shelf.store.price_columns import COLUMNS, price_from, result_digest
from watchlist.shelf.store.prices import Prices


@dataclass(frozen=True, slots=True)
class Result:
    """What a lot fell for, as the person recorded it."""

    lot: str
    price: PriceRealised
    won: bool
    at: datetime


_WHOLE = ", ".join(f"p.{name}" for name in ("id", *COLUMNS))


class Results:
    """The results, one a lot; their prices stand among the others."""

    def __init__(self, db: Connection, prices: Prices) -> None:
        self._db, self._prices = db, prices

    def put(self, lot: str, price: PriceRealised, *, won: bool, at: datetime) -> int:
        """Record what a lot fell for, in the place of an earlier result: a price realised from now on. Its number."""
        with self._db.writing(durable=True):
            self.drop(lot)
            number = self._prices.keep(replace(price, origin=lot), result_digest(lot))
            self._db.run("INSERT INTO results VALUES (?, ?, ?, ?)", (lot, number, won, epoch(at)))
        return number

    def drop(self, lot: str) -> bool:
        """Take a result back, and its price; False when there was none."""
        with self._db.writing(durable=True):
            row = self._db.row("SELECT price FROM results WHERE lot = ?", (lot,))
            if row:
                self._db.run("DELETE FROM results WHERE lot = ?", (lot,))
                self._prices.drop(*row)
        return row is not None

    def of(self, lot: str) -> Result | None:
        """The result of a lot."""
        sql = f"SELECT won, at, {_WHOLE} FROM results r JOIN prices p ON p.id = r.price WHERE r.lot = ?"
        for won, at, *price in self._db.rows(sql, (lot,)):
            return Result(lot, price_from(tuple(price)), bool(won), datetime.fromtimestamp(at, UTC))
        return None

    def lots(self) -> frozenset[str]:
        """The lots that have a result."""
        return frozenset(lot for (lot,) in self._db.rows("SELECT lot FROM results"))

    def prices(self, *, won: bool = False) -> frozenset[int]:
        """Numbers of the prices that stand there as results; only of what was won."""
        where = " WHERE won" if won else ""
        return frozenset(number for (number,) in self._db.rows(f"SELECT price FROM results{where}"))
