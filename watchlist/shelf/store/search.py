"""How a filter is answered among a million lots.

SQLite is not left to guess: where some condition has few lots, found by its own index, it leads and the few are
sorted; else the index of the order leads and lots are tested in passing until the page is full.
"""

from __future__ import annotations

from watchlist.shelf.store.connection import Connection, Row
from watchlist.shelf.store.filters import COLUMNS, Condition, Filter, Order, Place, conditions, one_of
from watchlist.shelf.store.schema import has_words

FEW = 5_000
"""A condition with fewer lots than this leads the search; so many are sorted in a few milliseconds."""
_KNOWN = {"gap": "gap > -1e308", "all_in": "all_in > -1e308", "mark": "mark >= 0"}
"""What is not null, as a range: so the search starts behind the unknown ones."""
_CELLS = ("due", "title", "gap", "all_in", "mark")


class Search:
    """One filter over the lots."""

    def __init__(self, db: Connection, wanted: Filter) -> None:
        self._db = db
        found = conditions(wanted, full_text=bool(wanted.include or wanted.exclude) and has_words(db))
        for column, name in (("source", wanted.source), ("venue", wanted.venue)):
            if name:
                found.append(one_of(column, self._matching(column, name)))
        self._lead = self._rarest(found)
        self._rest = [piece for piece in found if piece is not self._lead]

    def page(self, cells: str, order: Order, down: bool, after: Place | None, limit: int) -> list[Row]:
        """Rows behind `after`: first those with a value to order by, then those without."""
        first, *others = COLUMNS[order]
        rows: list[Row] = []
        if after is None or _value(after, first) is not None:
            rows = self._run(cells, [first, *others], down, after, limit, _KNOWN.get(first, ""))
            after = None
        if len(rows) < limit and first in _KNOWN:
            rows += self._run(cells, others, down, after, limit - len(rows), f"{first} IS NULL")
        return rows

    def _run(
        self, cells: str, columns: list[str], down: bool, after: Place | None, limit: int, known: str
    ) -> list[Row]:
        columns = [*columns, "id"]
        tests, values = self._tests(columns[0]), self._values()
        if known:
            tests.append(known)
        if after is not None:
            tests.append(f"({', '.join(columns)}) {'<' if down else '>'} ({', '.join('?' * len(columns))})")
            values += [_value(after, column) for column in columns]
        order = ", ".join(f"{column} DESC" if down else column for column in columns)
        return self._db.rows(
            f"SELECT {cells} FROM {self._from()} {_where(tests)} ORDER BY {order} LIMIT ?", (*values, limit)
        )

    def tally(self, cells: str, group: str = "") -> list[Row]:
        """Counts over all lots of the filter."""
        alone = self._lead is None and len(self._rest) == 1
        tests = [self._rest[0].sql] if alone else self._tests("due")
        return self._db.rows(f"SELECT {cells} FROM {self._from()} {_where(tests)} {group}", self._values())

    def _from(self) -> str:
        """The leader's lots first, where there is one; CROSS JOIN keeps SQLite to that."""
        if self._lead is None:
            return "lots"
        return f"(SELECT id AS few FROM lots WHERE {self._lead.sql}) CROSS JOIN lots ON id = few"

    def _tests(self, free: str = "") -> list[str]:
        """All other conditions as tests in passing: `+` closes them to every index but that of the order."""
        return [piece.sql if piece.column == free != "" else f"+({piece.sql})" for piece in self._rest]

    def _values(self) -> list[object]:
        pieces = [self._lead, *self._rest] if self._lead else self._rest
        return [value for piece in pieces for value in piece.values]

    def _rarest(self, found: list[Condition]) -> Condition | None:
        """The condition with the fewest lots, if they are few; each is looked at no further than that."""
        fewest, rarest = FEW, None
        for piece in found:
            if piece.indexed:
                sql = f"SELECT count(*) FROM (SELECT 1 FROM lots WHERE {piece.sql} LIMIT {FEW})"
                number = self._db.number(sql, piece.values)
                if number < fewest:
                    fewest, rarest = number, piece
        return rarest

    def _matching(self, column: str, wanted: str) -> list[str]:
        """The names meant: the one written so, else all that hold these letters."""
        names = self.names(column)
        just = [name for name in names if name.casefold() == wanted.casefold()]
        return just or [name for name in names if wanted.casefold() in name.casefold()]

    def names(self, column: str) -> list[str]:
        """All different values of an indexed column, without reading every lot."""
        leap = f"""WITH RECURSIVE leap(name) AS (SELECT min({column}) FROM lots UNION ALL
            SELECT (SELECT min({column}) FROM lots WHERE {column} > name) FROM leap WHERE name IS NOT NULL)
            SELECT name FROM leap WHERE name IS NOT NULL"""
        return [name for (name,) in self._db.rows(leap)]


def _where(tests: list[str]) -> str:
    return f"WHERE {' AND '.join(tests)}" if tests else ""


def _value(place: Place, column: str) -> int | float | str | None:
    name = column.split()[0]
    return place.id if name == "id" else place.values[_CELLS.index(name)]
