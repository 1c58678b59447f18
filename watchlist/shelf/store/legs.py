"""An order of lots, walked in legs: first those that have a value to order by, then those that have none."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

from watchlist.shelf.store.filters import COLUMNS, Condition, Order, Place

_KNOWN = {"gap": "gap > -1e308", "all_in": "all_in > -1e308", "mark": "mark >= 0"}
"""What is not null, as a range: so the search starts behind the unknown ones."""
_CELLS = ("due", "title", "gap", "all_in", "mark")
_FAR = 2**62
"""Above the number of every lot."""


@dataclass(frozen=True, slots=True)
class Leg:
    """The part of an order that lies behind a place, or all of it, as far as a stop."""

    columns: tuple[str, ...]
    """What its lots are ordered by; their number last."""
    known: str
    """The condition of its lots."""
    down: bool
    after: Place | None = None
    stop: Place | None = None

    def query(self, pieces: Iterable[Condition]) -> tuple[str, list[object]]:
        """The part of a query behind its table, with its values."""
        return self._ordered(pieces, self.columns)

    def skimmed(self, pieces: Iterable[Condition]) -> tuple[str, list[object]]:
        """The same for the lots that the index of the first column tells apart, where equal ones may come anyhow."""
        known = [piece for piece in pieces if piece.column == self.columns[0]]
        return self._ordered(known, self.columns[:-1] or self.columns)

    def end(self, cells: Sequence[object]) -> Place:
        """The place behind all lots that are equal to the one with these cells of PLACE."""
        *values, number = cells
        if self.columns != ("id",):
            number = -1 if self.down else _FAR
        return Place(tuple(values), number)  # type: ignore[arg-type]

    def _ordered(self, pieces: Iterable[Condition], columns: Sequence[str]) -> tuple[str, list[object]]:
        tests, values = in_passing(pieces, self.columns[0], shut="".join(sign for _, sign in self._bounds()))
        # a lower bound of the value says that it is known
        if self.known and not (self.known in _KNOWN.values() and any(sign == ">" for _, sign in self._bounds())):
            tests.append(self.known)
        for place, sign in self._bounds():
            cells = [_value(place, column) for column in self.columns]
            tests += self._bound(sign, "=" if place is self.stop else "")
            values += [cells[0], *cells]
        order = ", ".join(f"{column} DESC" if self.down else column for column in columns)
        return f"{where(tests)} ORDER BY {order}", values

    def _bounds(self) -> Iterator[tuple[Place, str]]:
        """Where it begins and ends in its index, the lower side first."""
        low, high = (self.stop, self.after) if self.down else (self.after, self.stop)
        return ((place, sign) for place, sign in ((low, ">"), (high, "<")) if place is not None)

    def _bound(self, sign: str, upto: str) -> tuple[str, str]:
        """SQLite enters an index with one bound a side, and not with a comparison of several columns: so the nearest
        bound of the first column stands open to it, and all others are closed."""
        slots = ", ".join("?" * len(self.columns))
        return f"{self.columns[0]} {sign}= ?", f"({', '.join(self.columns)}) {sign}{upto} ({slots})"


def legs(order: Order, after: Place | None, *, down: bool, back: bool) -> list[Leg]:
    """What lies ahead of a place, or of the first lot or the last: one leg or two."""
    first, *others = COLUMNS[order]
    down = down != back
    if first not in _KNOWN:
        return [Leg((first, *others, "id"), "", down, after)]
    known = Leg((first, *others, "id"), _KNOWN[first], down)
    unknown = Leg((*others, "id"), f"{first} IS NULL", down)
    ahead = [unknown, known] if back else [known, unknown]
    if after is not None:
        start = unknown if _value(after, first) is None else known
        ahead = [replace(start, after=after), *ahead[ahead.index(start) + 1 :]]
    return ahead


def in_passing(pieces: Iterable[Condition], free: str = "", shut: str = "") -> tuple[list[str], list[object]]:
    """Conditions as tests in passing, with their values: `+` closes them to every index but that of the order.

    `free`: the order's own column. `shut`: sides of it that are closed too."""
    pieces = list(pieces)
    tests = [
        piece.sql if piece.column == free != "" and not set(piece.sql) & set(shut) else f"+({piece.sql})"
        for piece in pieces
    ]
    return tests, [value for piece in pieces for value in piece.values]


def where(tests: Sequence[str]) -> str:
    """The tests as a clause."""
    return f"WHERE {' AND '.join(tests)}" if tests else ""


def _value(place: Place, column: str) -> int | float | str | None:
    name = column.split()[0]
    return place.id if name == "id" else place.values[_CELLS.index(name)]
