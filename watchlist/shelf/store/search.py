"""How a filter is answered among a million lots.

SQLite is not left to guess: where some condition has few lots, found by its own index, it leads and the few are
sorted; else the index of the order leads and lots are tested in passing until the page is full.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from watchlist.core.sift.filter import Filter, holds
from watchlist.shelf.store.connection import Connection, Row
from watchlist.shelf.store.filters import COLUMNS, Condition, Order, Place, conditions, hint, one_of
from watchlist.shelf.store.rows import PLACE
from watchlist.shelf.store.schema import has_odd, has_words

FEW = 5_000
"""A condition with fewer lots than this leads the search; so many are sorted in a few milliseconds."""
VERY_FEW = 200
"""With fewer than this the full text need not be asked."""
MANY_NAMES = 20_000
"""With more venues or sellers than this each lot is asked for its own."""
FEW_NAMES = 5_000
"""So many names at most are put into one query."""
FAR = 2**62
"""Above the number of every lot."""
_KNOWN = {"gap": "gap > -1e308", "all_in": "all_in > -1e308", "mark": "mark >= 0"}
"""What is not null, as a range: so the search starts behind the unknown ones."""
_CELLS = ("due", "title", "gap", "all_in", "mark")


@dataclass(frozen=True, slots=True)
class Go:
    """What one go through an order found."""

    rows: list[Row]
    at: Place | None
    """Where it ended before the page was full; None when it is full, or nothing is left."""
    ended: bool
    """Nothing lies behind."""


Section = tuple[list[str], str]
"""Columns to order by, and the condition of the lots that are ordered so."""


class Search:
    """One filter over the lots."""

    def __init__(self, db: Connection, wanted: Filter) -> None:
        self._db, self.wanted = db, wanted
        found = conditions(wanted)
        asked = {"venue": wanted.venues, "seller": wanted.sellers}
        named = {column: self._meant(column, words) for column, words in asked.items() if words}
        found += [_named(column, names) for column, names in named.items() if names is not None]
        self.exact = not wanted.words and not wanted.not_words and None not in named.values()
        """All that it finds passes; else each lot has to be tested besides."""
        if wanted.words and has_words(db) and (led := hint(wanted.words, odd=has_odd(db))):
            found.append(led)
        self._lead = self._rarest(found)
        self._rest = [piece for piece in found if piece is not self._lead and not piece.hint]

    def page(self, cells: str, order: Order, down: bool, after: Place | None, limit: int) -> list[Row]:
        """Rows behind `after`: first those with a value to order by, then those without."""
        return self.go(cells, order, down, after, limit).rows

    def go(
        self,
        cells: str,
        order: Order,
        down: bool,
        after: Place | None,
        limit: int,
        *,
        back: bool = False,
        most: int = 0,
    ) -> Go:
        """Rows behind `after`, or before it, nearest first. It looks at about so many lots at `most`; 0: no bound."""
        sections = self._sections(order, after, back)
        down = down != back
        rows: list[Row] = []
        for columns, known in sections:
            stop = self._stop(columns, down, after, most, known) if most and self._lead is None else None
            rows += self._run(cells, columns, down, after, limit - len(rows), known, stop)
            if len(rows) == limit:
                return Go(rows, None, ended=False)
            if stop is not None:
                return Go(rows, stop, ended=False)
            after = None
        return Go(rows, None, ended=True)

    def _sections(self, order: Order, after: Place | None, back: bool) -> list[Section]:
        """The parts of an order that lie ahead: lots with a value, then those without."""
        first, *others = COLUMNS[order]
        if first not in _KNOWN:
            return [([first, *others, "id"], "")]
        known = ([first, *others, "id"], _KNOWN[first])
        unknown = ([*others, "id"], f"{first} IS NULL")
        at_unknown = after is not None and _value(after, first) is None
        if back:
            return [unknown, known] if after is None or at_unknown else [known]
        return [unknown] if at_unknown else [known, unknown]

    def _stop(self, columns: list[str], down: bool, after: Place | None, most: int, known: str) -> Place | None:
        """The place so many lots on, behind all that are equal there, pass or not; None when there are fewer."""
        pieces = [each for each in self._rest if each.column and each.column == columns[0]]
        sql, values = self._ordered(pieces, columns, down, after, None, known, of=columns[:-1] or columns)
        found = self._db.row(f"SELECT {PLACE} FROM lots {sql} LIMIT 1 OFFSET ?", (*values, most))
        return Place(tuple(found[:-1]), found[-1] if columns == ["id"] else -1 if down else FAR) if found else None

    def _run(
        self,
        cells: str,
        columns: list[str],
        down: bool,
        after: Place | None,
        limit: int,
        known: str,
        stop: Place | None,
    ) -> list[Row]:
        sql, values = self._ordered(self._rest, columns, down, after, stop, known)
        lead = self._lead.values if self._lead else ()
        return self._db.rows(f"SELECT {cells} FROM {self._from()} {sql} LIMIT ?", (*lead, *values, limit))

    def _ordered(
        self,
        pieces: list[Condition],
        columns: list[str],
        down: bool,
        after: Place | None,
        stop: Place | None,
        known: str,
        of: Sequence[str] = (),
    ) -> tuple[str, list[object]]:
        """The part of a query behind its table, with its values; ordered by all columns or by those `of` it.

        SQLite enters an index with one bound a side, and not with a comparison of several columns: so the nearest
        bound of the first column stands open to it, and all others are closed."""
        low, high = (stop, after) if down else (after, stop)
        shut = ">" * (low is not None) + "<" * (high is not None)
        tests = self._tests(pieces, columns[0], shut)
        if known and (low is None or known not in _KNOWN.values()):  # a lower bound says that the value is known
            tests.append(known)
        values = [value for piece in pieces for value in piece.values]
        for place, sign in ((low, ">"), (high, "<")):
            if place is not None:
                each = [_value(place, column) for column in columns]
                upto = "=" if place is stop else ""
                tests += [f"{columns[0]} {sign}= ?", f"({', '.join(columns)}) {sign}{upto} ({_slots(columns)})"]
                values += [each[0], *each]
        order = ", ".join(f"{column} DESC" if down else column for column in of or columns)
        return f"{_where(tests)} ORDER BY {order}", values

    def tally(self, cells: str, group: str = "") -> list[Row]:
        """Counts over all lots of the filter."""
        alone = self._lead is None and len(self._rest) == 1
        tests = [self._rest[0].sql] if alone else self._tests(self._rest, "due")
        pieces = [self._lead, *self._rest] if self._lead else self._rest
        values = [value for piece in pieces for value in piece.values]
        return self._db.rows(f"SELECT {cells} FROM {self._from()} {_where(tests)} {group}", values)

    def _from(self) -> str:
        """The leader's lots first, where there is one; CROSS JOIN keeps SQLite to that."""
        if self._lead is None:
            return "lots"
        ids = self._lead.ids or f"SELECT id AS few FROM lots WHERE {self._lead.sql}"
        return f"(SELECT DISTINCT few FROM ({ids})) CROSS JOIN lots ON id = few"

    def _tests(self, pieces: list[Condition], free: str = "", shut: str = "") -> list[str]:
        """Conditions as tests in passing: `+` closes them to every index but that of the order.

        `shut`: sides of the order's own column that are closed too."""
        return [
            piece.sql if piece.column == free != "" and not set(piece.sql) & set(shut) else f"+({piece.sql})"
            for piece in pieces
        ]

    def _rarest(self, found: list[Condition]) -> Condition | None:
        """The condition with the fewest lots, if they are few; each is looked at no further than that."""
        fewest, rarest = FEW, None
        for piece in found:
            if (piece.indexed and not piece.hint) or (piece.hint and fewest > VERY_FEW):
                ids = piece.ids or f"SELECT 1 FROM lots WHERE {piece.sql}"
                number = self._db.number(f"SELECT count(*) FROM (SELECT 1 FROM ({ids}) LIMIT {FEW})", piece.values)
                if number < fewest:
                    fewest, rarest = number, piece
        return rarest

    def _meant(self, column: str, words: Sequence[str]) -> list[str] | None:
        """The venues or sellers that are meant; None where there are too many to tell."""
        names = self.names(column, MANY_NAMES)
        found = [name for name in names if any(holds(word, name) for word in words)]
        return None if len(names) == MANY_NAMES or len(found) > FEW_NAMES else found

    def names(self, column: str, limit: int = -1) -> list[str]:
        """All different values of an indexed column, without reading every lot; no more than `limit` of them."""
        some = f"{column} <> ''" if column == "seller" else "1"
        leap = f"""WITH RECURSIVE leap(name) AS (SELECT min({column}) FROM lots WHERE {some} UNION ALL
            SELECT (SELECT min({column}) FROM lots WHERE {column} > name AND {some}) FROM leap WHERE name IS NOT NULL)
            SELECT name FROM leap WHERE name IS NOT NULL LIMIT ?"""
        return [name for (name,) in self._db.rows(leap, (limit,))]


def _named(column: str, names: Sequence[str]) -> Condition:
    condition = one_of(column, names)
    return replace(condition, sql=f"seller <> '' AND {condition.sql}") if column == "seller" else condition


def _where(tests: list[str]) -> str:
    return f"WHERE {' AND '.join(tests)}" if tests else ""


def _slots(columns: Sequence[str]) -> str:
    return ", ".join("?" * len(columns))


def _value(place: Place, column: str) -> int | float | str | None:
    name = column.split()[0]
    return place.id if name == "id" else place.values[_CELLS.index(name)]
