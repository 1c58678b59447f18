"""What lots are measured by: issues, rows of price guides, exchange rates. Durable."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from decimal import Decimal

from watchlist.core.coins.issue import Issue
from watchlist.core.prices.realised import GuideRow
from watchlist.shelf.records import dumps, loads
from watchlist.shelf.store.connection import Connection
from watchlist.shelf.store.prices import Prices


class Catalogue:
    """Issues, guides and rates."""

    def __init__(self, db: Connection, prices: Prices) -> None:
        self._db, self._prices = db, prices

    def merge(self, issues: Iterable[Issue]) -> int:
        """Add issues, or put them in the place of those with the same key; how many."""
        with self._db.writing(durable=True):
            return self._db.many(
                "INSERT INTO issues VALUES (?, ?) ON CONFLICT(key) DO UPDATE SET data = excluded.data",
                ((issue.key, dumps(issue)) for issue in issues),
            )

    def supersede(self, moves: Mapping[str, str]) -> int:
        """Forget issues, and put their prices realised under others; how many prices."""
        with self._db.writing(durable=True):
            self._db.many("DELETE FROM issues WHERE key = ?", ((old,) for old in moves))
            return sum(self._prices.move(old, new) for old, new in moves.items())

    def issues(self) -> list[Issue]:
        """All issues in the order in which they came."""
        return [loads(Issue, data) for (data,) in self._db.rows("SELECT data FROM issues ORDER BY rowid")]

    def issue(self, key: str) -> Issue | None:
        """One issue; for those who need no more."""
        row = self._db.row("SELECT data FROM issues WHERE key = ?", (key,))
        return loads(Issue, row[0]) if row else None

    def put_guides(self, rows: Iterable[GuideRow]) -> int:
        """Put the rows of the price guides in the place of the old ones; how many."""
        with self._db.writing(durable=True):
            self._db.run("DELETE FROM guides")
            cells = ((row.issue, dumps(row)) for row in rows)
            return self._db.many("INSERT INTO guides(issue, data) VALUES (?, ?)", cells)

    def guides(self) -> list[GuideRow]:
        """All rows of the price guides."""
        return [loads(GuideRow, data) for (data,) in self._db.rows("SELECT data FROM guides ORDER BY id")]

    def move_guides(self, moves: Mapping[str, str]) -> None:
        """Put the rows of the price guides under other issues."""
        moved = [replace(row, issue=moves.get(row.issue, row.issue)) for row in self.guides()]
        if any(row.issue in moves.values() for row in moved):
            self.put_guides(moved)

    def has_guide(self, issue: str) -> bool:
        """A price guide has a row for this issue."""
        return self._db.row("SELECT 1 FROM guides WHERE issue = ? LIMIT 1", (issue,)) is not None

    def put_rates(self, rates: Mapping[tuple[str, str], Decimal]) -> None:
        """Keep exchange rates: (currency, "YYYY-MM") to units for one unit of the home currency."""
        cells = ((currency, month, str(units)) for (currency, month), units in rates.items())
        with self._db.writing(durable=True):
            self._db.many("INSERT OR REPLACE INTO rates VALUES (?, ?, ?)", cells)

    def rates(self) -> dict[tuple[str, str], Decimal]:
        """All exchange rates."""
        rows = self._db.rows("SELECT currency, month, units FROM rates")
        return {(currency, month): Decimal(units) for currency, month, units in rows}
