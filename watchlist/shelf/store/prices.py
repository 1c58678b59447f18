"""The prices realised: imported, typed as results, or told by a feed when a lot ended. Durable."""

from __future__ import annotations

from collections.abc import Container, Iterable, Iterator, Sequence
from dataclasses import replace
from datetime import date
from itertools import islice

from watchlist.core.prices.many import Cells
from watchlist.core.prices.realised import PriceRealised
from watchlist.shelf.store.connection import Connection, Row
from watchlist.shelf.store.price_columns import COLUMNS, PUT, WHOLE, cells_of, digest, identity_of, price_from
from watchlist.shelf.store.same_sale import LOT, Deleted, Known, gone, moved

_BATCH = 5_000
_BARE = "rtrim(origin, '0123456789')"
_FROM_FILE = f"{_BARE} <> origin AND ({_BARE} = 'line ' OR {_BARE} LIKE '% line ')"
"""Where a price came from when it came from a file: `prices.csv line 14`."""
_CERT = "lower(replace(cert, ' ', ''))"
"""As coarse as a certificate number is ever compared, or coarser."""
_KEYED = f"SELECT {', '.join(COLUMNS)}, digest FROM prices"
_CHANGE = f"UPDATE prices SET {', '.join(f'{name} = ?' for name in COLUMNS)}, digest = ? WHERE id = ?"


class Prices:
    """The prices realised, each under a number of its own that is never given again."""

    def __init__(self, db: Connection) -> None:
        self._db = db

    def add(self, prices: Iterable[PriceRealised], deleted: Iterable[str] = ()) -> tuple[int, int]:
        """Keep prices, some thousand at a time, but for those that were `deleted` (as `gone` tells them); how many are
        new, how many were there. Equal rows of one import are all kept: two pieces may well bring the same on one day.
        The same import again adds nothing, whatever its file is called."""
        rest, given, new = iter(prices), 0, True
        with self._db.writing(durable=True):
            before, known = self.count(), Known(self._db, self.newest(), Deleted(deleted))
            while batch := list(islice(rest, _BATCH)):
                keyed = [(cells, digest(identity_of(cells), 1)) for cells in map(cells_of, batch)]
                new = (new and self._add_new(keyed, known)) or self._add_each(keyed, known)
                given += len(batch)
            added = self.count() - before
        return added, given - added

    def _add_new(self, keyed: Sequence[tuple[Row, bytes]], known: Known) -> bool:
        """Put all there at once, as most batches hold nothing that was there; False, and none is, where one does."""
        if not known.all_new([key for _, key in keyed]):
            return False
        self._db.run("SAVEPOINT batch")
        new = self._db.many(PUT, ((*cells, key) for cells, key in keyed)) == len(keyed)
        if not new:
            self._db.run("ROLLBACK TO batch")
        self._db.run("RELEASE batch")
        return new

    def _add_each(self, keyed: Sequence[tuple[Row, bytes]], known: Known) -> bool:
        """Look at row by row; whether most of them were new, so that the next batch may be."""
        keys = [(cells, known.place_of(cells, first)) for cells, first in keyed]
        new = [self._db.run(PUT, (*cells, key)) for cells, key in keys if key]
        return 2 * len(new) > len(keyed)

    def put(self, prices: Iterable[PriceRealised]) -> list[str]:
        """Put prices in the place of those with their numbers. What is another sale now is told as it was, as `gone`
        has it: the same import again brings it back no more."""
        were: list[str] = []
        with self._db.writing(durable=True):
            for price in prices:
                for *before, old in self._db.rows(f"{_KEYED} WHERE id = ?", (price.id,)):
                    cells = cells_of(price)
                    key = moved(self._db, tuple(before), old, cells)
                    were += [gone(old, before[LOT])] if key != old else []
                    self._db.run(_CHANGE, (*cells, key, price.id))
        return were

    def gone(self, ids: Iterable[int]) -> list[str]:
        """What tells each of these prices from all others, for the list of deleted sales."""
        rows = (self._db.row("SELECT digest, lot FROM prices WHERE id = ?", (id,)) for id in ids)
        return [gone(*row) for row in rows if row]

    def keep(self, price: PriceRealised, digest: bytes) -> int:
        """Keep one price under a digest that no other has; its number."""
        with self._db.writing(durable=True):
            return self._db.run(PUT, (*cells_of(price), digest))

    def drop(self, id: int) -> None:
        """Forget the price with this number."""
        with self._db.writing(durable=True):
            self._db.run("DELETE FROM prices WHERE id = ?", (id,))

    def move(self, old: str, new: str) -> int:
        """Put the prices of one issue under another; how many."""
        there = [replace(price, issue=new) for price in self.of(old)]
        self.put(there)
        return len(there)

    def set_weight(self, id: int, weight: float) -> bool:
        """Set the person's own weight of a price, 0 to 1; False when there is no such number."""
        with self._db.writing(durable=True):
            return self._db.many("UPDATE prices SET weight = ? WHERE id = ?", [(weight, id)]) > 0

    def get(self, id: int) -> PriceRealised | None:
        """The price with this number."""
        return next(iter(self._read("id = ?", id)), None)

    def of(self, issue: str) -> list[PriceRealised]:
        """The prices of an issue by their number."""
        return self._read("issue = ?", issue)

    def behind(self, id: int) -> list[PriceRealised]:
        """Prices with a higher number."""
        return self._read("id > ?", id)

    def may_repeat(self, id: int = 0) -> list[str]:
        """The issues with a price of a number above this one in which a sale may be told twice: prices that came from
        no file stand among them, or one certificate number stands there twice."""
        fresh = "SELECT issue FROM prices WHERE id > ? GROUP BY issue"
        own = f"SELECT issue FROM prices WHERE origin <> '' AND NOT ({_FROM_FILE})"
        certified = f"SELECT issue FROM prices WHERE cert <> '' GROUP BY issue, {_CERT} HAVING count(*) > 1"
        rows = self._db.rows(f"{fresh} INTERSECT SELECT * FROM ({own} UNION {certified})", (id,))
        return [issue for (issue,) in rows]

    def _read(self, where: str, value: object) -> list[PriceRealised]:
        return list(map(price_from, self._db.rows(f"{WHOLE} WHERE {where} ORDER BY id", (value,))))

    def each(self) -> Iterator[PriceRealised]:
        """All prices by their number, one after the other."""
        return map(price_from, self._db.each(f"{WHOLE} ORDER BY id"))

    def in_cells(self) -> Iterator[Cells]:
        """All prices by their number, as cells."""
        return map(Cells._make, self._db.each(f"{WHOLE} ORDER BY id"))

    def sold_together(self) -> Container[int]:
        """Issue and day under which more than one price stands, each pair as its hash: a million pairs are many."""
        seen, together = set[int](), set[int]()
        for pair in map(hash, self._db.each("SELECT issue, sale_date FROM prices")):
            (together if pair in seen else seen).add(pair)
        return together

    def count(self) -> int:
        """How many are kept."""
        return self._db.number("SELECT count(*) FROM prices")

    def newest(self) -> int:
        """The highest number of a price; 0 without one."""
        return self._db.number("SELECT coalesce(max(id), 0) FROM prices")

    def by_issue(self) -> dict[str, tuple[int, date]]:
        """How many prices of each issue are kept, and the day of the newest."""
        rows = self._db.rows("SELECT issue, count(*), max(sale_date) FROM prices GROUP BY issue")
        return {issue: (number, date.fromisoformat(newest)) for issue, number, newest in rows}
