"""How a filter is answered among a million lots.

SQLite is not left to guess: where some condition has few lots, found by its own index, it leads and the few are
sorted; else the index of the order leads and lots are tested in passing until the page is full.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from watchlist.core.sift.filter import Filter, holds
from watchlist.shelf.store.connection import Connection, Row
from watchlist.shelf.store.filters import Condition, Order, Place, conditions, hint, one_of
from watchlist.shelf.store.legs import Leg, in_passing, legs, where
from watchlist.shelf.store.rows import LINE, PLACE, LotLine, lines_of
from watchlist.shelf.store.schema import has_odd, has_words

FEW = 5_000
"""A condition with fewer lots than this leads the search; so many are sorted in a few milliseconds."""
VERY_FEW = 200
"""With fewer than this the full text need not be asked."""
MANY_NAMES = 20_000
"""With more venues or sellers than this each lot is asked for its own."""
FEW_NAMES = 5_000
"""So many names at most are put into one query."""


@dataclass(frozen=True, slots=True)
class Stretch:
    """What one go through an order found."""

    lines: list[LotLine]
    at: Place | None
    """Where it ended; go on from there. None when nothing was passed."""
    ended: bool
    """Nothing lies behind."""


class Search:
    """The lots of one filter, in goes that are each short however few pass; how to find them is made out once."""

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

    def go(
        self,
        order: Order,
        *,
        down: bool = False,
        after: Place | None = None,
        back: bool = False,
        limit: int = 64,
        most: int = 0,
    ) -> Stretch:
        """The lines behind a place, or `back`, before it and nearest first. Without a place: from the first, or last.

        It ends when it has found `limit` lots, of which some may not pass, or has looked at `most`; 0 sets no bound."""
        found: list[LotLine] = []
        stop = None
        for leg in legs(order, after, down=down, back=back):
            stop = self._stop(leg, most) if most and self._lead is None else None
            found += self._lines(replace(leg, stop=stop), limit - len(found))
            if len(found) == limit or stop is not None:
                break
        full = len(found) == limit
        at = stop if stop and not full else found[-1].place if found else after
        passed = found if self.exact else [line for line in found if self.wanted.test(line)]
        return Stretch(passed, at, ended=not full and stop is None)

    def _stop(self, leg: Leg, most: int) -> Place | None:
        """The place so many lots on, behind all that are equal there, pass or not; None when there are fewer."""
        sql, values = leg.skimmed(self._rest)
        found = self._db.row(f"SELECT {PLACE} FROM lots {sql} LIMIT 1 OFFSET ?", (*values, most))
        return leg.end(found) if found else None

    def _lines(self, leg: Leg, limit: int) -> list[LotLine]:
        sql, values = leg.query(self._rest)
        lead = self._lead.values if self._lead else ()
        rows = self._db.rows(f"SELECT {LINE} FROM {self._from()} {sql} LIMIT ?", (*lead, *values, limit))
        return lines_of(self._db, rows)

    def tally(self, cells: str, group: str = "") -> list[Row]:
        """Counts over all lots of the filter."""
        tests, values = in_passing(self._rest, "due")
        if self._lead is None and len(self._rest) == 1:
            tests = [self._rest[0].sql]  # alone it may use any index
        lead = self._lead.values if self._lead else ()
        return self._db.rows(f"SELECT {cells} FROM {self._from()} {where(tests)} {group}", (*lead, *values))

    def _from(self) -> str:
        """The leader's lots first, where there is one; CROSS JOIN keeps SQLite to that."""
        if self._lead is None:
            return "lots"
        ids = self._lead.ids or f"SELECT id AS few FROM lots WHERE {self._lead.sql}"
        return f"(SELECT DISTINCT few FROM ({ids})) CROSS JOIN lots ON id = few"

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
