"""A way through the lots of one filter, in goes that are each short however few lots pass."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from watchlist.shelf.store.connection import Connection, Row, torn
from watchlist.shelf.store.filters import Order, Place
from watchlist.shelf.store.rows import LotLine, lot_line
from watchlist.shelf.store.search import Search


@dataclass(frozen=True, slots=True)
class Stretch:
    """What one go along a road found."""

    lines: Sequence[LotLine]
    at: Place | None
    """Where it ended; go on from there. None when nothing was passed."""
    ended: bool
    """Nothing lies behind."""


@dataclass(frozen=True, slots=True)
class Road:
    """The lots of one filter. How they are best found is made out once."""

    db: Connection
    search: Search

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
        found = self.search.go(order, down, after, limit, back=back, most=most)
        lines = lines_of(self.db, found.rows)
        at = found.at or (lines[-1].place if lines else after)
        if not self.exact:
            lines = [line for line in lines if self.search.wanted.test(line)]
        return Stretch(lines, at, found.ended)

    @property
    def exact(self) -> bool:
        """Every lot that is found passes, so that a count counts no others."""
        return self.search.exact


def lines_of(db: Connection, rows: Iterable[Row]) -> list[LotLine]:
    """The lines of the cells of LINE. Raises ShelfTorn."""
    try:
        return [lot_line(row) for row in rows]
    except (ArithmeticError, IndexError, ValueError, TypeError, AttributeError, OSError) as error:
        raise torn(db.path, f"a lot's line holds what it cannot: {error}") from error
