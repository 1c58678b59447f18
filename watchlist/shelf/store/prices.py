"""The catalogue, prices realised, guides and rates: what the person imported. All of it durable."""

from __future__ import annotations

import hashlib
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime
from decimal import Decimal
from typing import Literal

from watchlist.core.coins.issue import Issue
from watchlist.core.prices.realised import GuideRow, PriceRealised
from watchlist.shelf.records import dumps, loads
from watchlist.shelf.store.connection import Connection, Row, plain
from watchlist.shelf.store.filters import epoch
from watchlist.shelf.store.rows import instant


@dataclass(frozen=True, slots=True)
class CertSeen:
    """A certificate number met before."""

    where: Literal["lot", "price"]
    key: str
    """The lot's key, or the number of the price realised."""
    service: str
    issue: str
    grade_low: int | None
    grade_high: int | None
    when: date
    """Last seen, or sold."""


@dataclass(frozen=True, slots=True)
class Result:
    """What a lot fell for, as the person recorded it."""

    lot: str
    price: PriceRealised
    won: bool
    at: datetime


_PUT_PRICE = """INSERT INTO prices(issue, sale_date, grade_low, grade_high, service, cert, digest, data)
    VALUES (?, ?, ?, ?, ?, ?, ?, ?) ON CONFLICT(digest) DO NOTHING"""


class PriceTable:
    """Part of the store: issues, prices realised, results, guides, rates, certificate numbers."""

    db: Connection

    # --- catalogue ---

    def merge_issues(self, issues: Iterable[Issue]) -> int:
        """Add issues, or put them in the place of those with the same key; how many."""
        with self.db.writing(durable=True):
            return self.db.many(
                "INSERT INTO issues VALUES (?, ?) ON CONFLICT(key) DO UPDATE SET data = excluded.data",
                ((issue.key, dumps(issue)) for issue in issues),
            )

    def issues(self) -> list[Issue]:
        """All issues in the order in which they came."""
        return [loads(Issue, data) for (data,) in self.db.rows("SELECT data FROM issues ORDER BY rowid")]

    # --- prices realised ---

    def add_prices(self, prices: Sequence[PriceRealised]) -> tuple[int, int]:
        """Keep prices; how many are new, how many were there. Equal rows of one import are all kept: two pieces may
        well bring the same on one day. The same import again adds nothing, whatever its file is called."""
        met: Counter[bytes] = Counter()
        rows = []
        for price in prices:
            content = _content(price)
            met[content] += 1
            rows.append(_price_values(price, _digest(content, met[content])))
        with self.db.writing(durable=True):
            before = self._price_count()
            self.db.many(_PUT_PRICE, rows)
            added = self._price_count() - before
        return added, len(rows) - added

    def newest_price(self) -> int:
        """The highest number of a price realised; 0 without one."""
        return self.db.number("SELECT coalesce(max(id), 0) FROM prices")

    def _price_count(self) -> int:
        return self.db.number("SELECT count(*) FROM prices")

    def prices(self, issue: str | None = None, *, since: date | None = None) -> list[PriceRealised]:
        """Prices realised by their number; of one issue, or sold since a day."""
        sql = "SELECT id, data FROM prices WHERE (?1 IS NULL OR +issue = ?1) AND sale_date >= ?2 ORDER BY id"
        if issue is not None:
            sql = "SELECT id, data FROM prices WHERE issue = ?1 AND sale_date >= ?2 ORDER BY id"
        return [_price(row) for row in self.db.rows(sql, (issue, since.isoformat() if since else ""))]

    def prices_behind(self, id: int) -> list[PriceRealised]:
        """Prices realised with a higher number."""
        return [_price(row) for row in self.db.rows("SELECT id, data FROM prices WHERE id > ? ORDER BY id", (id,))]

    def each_price(self) -> Iterator[PriceRealised]:
        """All prices realised by their number, one after the other."""
        return map(_price, self.db.rows("SELECT id, data FROM prices ORDER BY id"))

    def prices_by_issue(self) -> dict[str, tuple[int, date]]:
        """How many prices realised of each issue are kept, and the day of the newest."""
        rows = self.db.rows("SELECT issue, count(*), max(sale_date) FROM prices GROUP BY issue")
        return {issue: (number, date.fromisoformat(newest)) for issue, number, newest in rows}

    def price(self, id: int) -> PriceRealised | None:
        """The price realised with this number."""
        row = self.db.row("SELECT id, data FROM prices WHERE id = ?", (id,))
        return _price(row) if row else None

    def set_price_weight(self, id: int, weight: float) -> bool:
        """Set the person's own weight of a price, 0 to 1; False when there is no such number."""
        with self.db.writing(durable=True):
            price = self.price(id)
            if price is not None:
                self.db.run("UPDATE prices SET data = ? WHERE id = ?", (dumps(replace(price, id=0, weight=weight)), id))
        return price is not None

    # --- results ---

    def put_result(self, lot: str, price: PriceRealised, *, won: bool, at: datetime) -> int:
        """Record what a lot fell for, in the place of an earlier result: a price realised from now on. Its number."""
        kept = replace(price, id=0, origin=lot)
        with self.db.writing(durable=True):
            self._forget_result(lot)
            digest = _digest(plain(f"result {lot}").encode(), 0)
            number = self.db.run(_PUT_PRICE, _price_values(kept, digest))
            self.db.run("INSERT INTO results VALUES (?, ?, ?, ?)", (lot, number, won, epoch(at)))
        return number

    def drop_result(self, lot: str) -> bool:
        """Take a result back, and its price; False when there was none."""
        with self.db.writing(durable=True):
            return self._forget_result(lot)

    def _forget_result(self, lot: str) -> bool:
        row = self.db.row("SELECT price FROM results WHERE lot = ?", (lot,))
        if row:
            self.db.run("DELETE FROM results WHERE lot = ?", (lot,))
            self.db.run("DELETE FROM prices WHERE id = ?", row)
        return row is not None

    def results(self, lot: str | None = None) -> list[Result]:
        """All results, or that of one lot, in the order in which they were recorded."""
        sql = """SELECT lot, won, at, prices.id, prices.data FROM results JOIN prices ON prices.id = results.price
            WHERE (?1 IS NULL OR lot = ?1) ORDER BY prices.id"""
        return [
            Result(key, _price((number, data)), bool(won), moment)
            for key, won, at, number, data in self.db.rows(sql, (lot,))
            if (moment := instant(at))
        ]

    def own_prices(self) -> frozenset[int]:
        """Numbers of the prices that the person typed as results."""
        return frozenset(number for (number,) in self.db.rows("SELECT price FROM results"))

    # --- guides and rates ---

    def replace_guides(self, rows: Iterable[GuideRow]) -> int:
        """Put the rows of the price guides in the place of the old ones; how many."""
        with self.db.writing(durable=True):
            self.db.run("DELETE FROM guides")
            return self.add_guides(rows)

    def add_guides(self, rows: Iterable[GuideRow]) -> int:
        """Add rows of a price guide; how many."""
        with self.db.writing(durable=True):
            return self.db.many(
                "INSERT INTO guides(issue, data) VALUES (?, ?)", ((row.issue, dumps(row)) for row in rows)
            )

    def guides(self) -> list[GuideRow]:
        """All rows of the price guides."""
        return [loads(GuideRow, data) for (data,) in self.db.rows("SELECT data FROM guides ORDER BY id")]

    def has_guide(self, issue: str) -> bool:
        """A price guide has a row for this issue."""
        return self.db.row("SELECT 1 FROM guides WHERE issue = ? LIMIT 1", (issue,)) is not None

    def put_rates(self, rates: Mapping[tuple[str, str], Decimal]) -> None:
        """Keep exchange rates: (currency, "YYYY-MM") to units for one unit of the home currency."""
        with self.db.writing(durable=True):
            self.db.many(
                "INSERT OR REPLACE INTO rates VALUES (?, ?, ?)",
                ((currency, month, str(units)) for (currency, month), units in rates.items()),
            )

    def rates(self) -> dict[tuple[str, str], Decimal]:
        """All exchange rates."""
        rows = self.db.rows("SELECT currency, month, units FROM rates")
        return {(currency, month): Decimal(units) for currency, month, units in rows}

    # --- certificates ---

    def certs(self, number: str, service: str = "") -> list[CertSeen]:
        """Where a certificate number was met, among lots and prices; of one service, or of any.

        At most 20 of each: more tell nothing new, and a feed may repeat one number thousands of times."""
        wanted = (plain(number), plain(service))
        lots = """SELECT 'lot', key, service, issue, grade_low, grade_high, date(last_seen, 'unixepoch') FROM lots
            WHERE cert = ?1 AND cert <> '' AND (?2 = '' OR service = ?2) LIMIT 20"""
        sold = """SELECT 'price', CAST(id AS TEXT), service, issue, grade_low, grade_high, sale_date FROM prices
            WHERE cert = ?1 AND cert <> '' AND (?2 = '' OR service = ?2) LIMIT 20"""
        rows = self.db.rows(f"SELECT * FROM ({lots}) UNION ALL SELECT * FROM ({sold})", wanted)
        return [
            CertSeen(where, key, service, issue, low, high, date.fromisoformat(day))
            for where, key, service, issue, low, high, day in rows
        ]


def _price_values(price: PriceRealised, digest: bytes) -> Row:
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


def _content(price: PriceRealised) -> bytes:
    """What was sold, when and for how much: without where it was read and what the person made of it since."""
    return dumps(replace(price, id=0, issue="", origin="", weight=1.0, note="", lot="")).encode()


def _digest(content: bytes, ordinal: int) -> bytes:
    return hashlib.sha256(content + b"#%d" % ordinal).digest()[:16]


def _price(row: Row) -> PriceRealised:
    return loads(PriceRealised, row[1], id=row[0])
