"""The prices realised: imported, typed as results, or told by a feed when a lot ended. Durable."""

from __future__ import annotations

import hashlib
from collections import Counter
from collections.abc import Container, Iterable, Iterator
from dataclasses import replace
from datetime import date

from watchlist.core.prices.realised import PriceRealised
from watchlist.shelf.records import dumps, loads
from watchlist.shelf.store.connection import Connection, Row, plain

_PUT = """INSERT INTO prices(issue, sale_date, grade_low, grade_high, service, cert, digest, data)
    VALUES (?, ?, ?, ?, ?, ?, ?, ?) ON CONFLICT(digest) DO NOTHING"""


_CHANGE = """UPDATE prices SET issue = ?, sale_date = ?, grade_low = ?, grade_high = ?, service = ?, cert = ?, data = ?
    WHERE id = ?"""
_DIGEST = 6


class Prices:
    """The prices realised, each under a number of its own that is never given again."""

    def __init__(self, db: Connection) -> None:
        self._db = db

    def add(self, prices: Iterable[PriceRealised], deleted: Container[str] = ()) -> tuple[int, int]:
        """Keep prices but for those that were `deleted` (digests); how many are new, how many were there.

        Equal rows of one import are all kept: two pieces may well bring the same on one day. The same import again adds
        nothing, whatever its file is called."""
        met: Counter[bytes] = Counter()
        rows = []
        for price in prices:
            content = _content(price)
            met[content] += 1
            rows.append(_cells(price, digest(content, met[content])))
        wanted = [row for row in rows if row[_DIGEST].hex() not in deleted] if deleted else rows
        with self._db.writing(durable=True):
            before = self.count()
            self._db.many(_PUT, wanted)
            added = self.count() - before
        return added, len(rows) - added

    def put(self, prices: Iterable[PriceRealised]) -> None:
        """Put prices in the place of those with their numbers; the same import again still adds nothing."""
        with self._db.writing(durable=True):
            for price in prices:
                issue, day, low, high, service, cert, _, data = _cells(price, b"")
                self._db.run(_CHANGE, (issue, day, low, high, service, cert, data, price.id))

    def digests(self, ids: Iterable[int]) -> list[str]:
        """What tells each of these prices from all others, as hexadecimal text."""
        rows = (self._db.row("SELECT digest FROM prices WHERE id = ?", (id,)) for id in ids)
        return [row[0].hex() for row in rows if row]

    def keep(self, price: PriceRealised, digest: bytes) -> int:
        """Keep one price under a digest that no other has; its number."""
        with self._db.writing(durable=True):
            return self._db.run(_PUT, _cells(price, digest))

    def drop(self, id: int) -> None:
        """Forget the price with this number."""
        with self._db.writing(durable=True):
            self._db.run("DELETE FROM prices WHERE id = ?", (id,))

    def move(self, old: str, new: str) -> int:
        """Put the prices of one issue under another; how many."""
        moved = self.of(old)
        with self._db.writing(durable=True):
            for price in moved:
                data = dumps(replace(price, id=0, issue=new))
                self._db.run("UPDATE prices SET issue = ?, data = ? WHERE id = ?", (new, data, price.id))
        return len(moved)

    def set_weight(self, id: int, weight: float) -> bool:
        """Set the person's own weight of a price, 0 to 1; False when there is no such number."""
        with self._db.writing(durable=True):
            price = self.get(id)
            if price is not None:
                data = dumps(replace(price, id=0, weight=weight))
                self._db.run("UPDATE prices SET data = ? WHERE id = ?", (data, id))
        return price is not None

    def get(self, id: int) -> PriceRealised | None:
        """The price with this number."""
        return next(iter(self._read("id = ?", id)), None)

    def of(self, issue: str) -> list[PriceRealised]:
        """The prices of an issue by their number."""
        return self._read("issue = ?", issue)

    def behind(self, id: int) -> list[PriceRealised]:
        """Prices with a higher number."""
        return self._read("id > ?", id)

    def _read(self, where: str, value: object) -> list[PriceRealised]:
        rows = self._db.rows(f"SELECT id, data FROM prices WHERE {where} ORDER BY id", (value,))
        return list(map(price_from, rows))

    def each(self) -> Iterator[PriceRealised]:
        """All prices by their number, one after the other."""
        return map(price_from, self._db.rows("SELECT id, data FROM prices ORDER BY id"))

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


def price_from(row: Row) -> PriceRealised:
    """From the cells id and data."""
    return loads(PriceRealised, row[1], id=row[0])


def digest(content: bytes, ordinal: int) -> bytes:
    """What tells a price from all others: its content, and which of several with this content it is."""
    return hashlib.sha256(content + b"#%d" % ordinal).digest()[:16]


def _content(price: PriceRealised) -> bytes:
    """What was sold, when and for how much: without where it was read and what the person made of it since."""
    return dumps(replace(price, id=0, issue="", origin="", weight=1.0, note="", lot="")).encode()


def _cells(price: PriceRealised, digest: bytes) -> Row:
    return (
        price.issue,
        price.sale_date.isoformat(),
        price.grade_low,
        price.grade_high,
        plain(price.service),
        plain(price.cert_number),
        digest,
        dumps(replace(price, id=0)),
    )
