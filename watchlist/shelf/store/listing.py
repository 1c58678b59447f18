"""Lists of lots: lines by pages in an order, and counts, of all lots that pass a filter."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from watchlist.core.marks.record import Mark
from watchlist.core.sift.filter import Filter
from watchlist.shelf.store.connection import Connection
from watchlist.shelf.store.filters import MARKS, Order, Place
from watchlist.shelf.store.rows import LINE, LotLine, lines_of
from watchlist.shelf.store.search import Search

ALL = Filter()


class Listing:
    """Lists of lots, read without touching the whole records."""

    def __init__(self, db: Connection) -> None:
        self._db = db

    def lines(
        self,
        wanted: Filter = ALL,
        order: Order = "closing",
        *,
        down: bool = False,
        after: Place | None = None,
        limit: int = 64,
    ) -> list[LotLine]:
        """A page of lines behind the place `after`. Unknown gaps, costs and marks come last in both directions."""
        return self.road(wanted).go(order, down=down, after=after, limit=limit).lines

    def line(self, key: str) -> LotLine | None:
        """The line of the lot with just this key."""
        return next(iter(lines_of(self._db, self._db.rows(f"SELECT {LINE} FROM lots WHERE key = ?", (key,)))), None)

    def each(self, wanted: Filter = ALL, order: Order = "closing", *, down: bool = False) -> Iterator[LotLine]:
        """All lines of a filter, page by page."""
        road, after, ended = self.road(wanted), None, False
        while not ended:
            found = road.go(order, down=down, after=after, limit=500)
            yield from found.lines
            after, ended = found.at, found.ended

    def count(self, wanted: Filter = ALL) -> int:
        """How many lots meet the filter."""
        return int(self.road(wanted).tally("count(*)")[0][0])

    def census(self, wanted: Filter = ALL) -> tuple[int, int, dict[Mark, int]]:
        """All lots of a filter, those of them that are new, and how many have each mark: in one pass."""
        marks = ", ".join(f"count(*) FILTER (WHERE mark = {number})" for number in range(len(MARKS)))
        ((all, new, *counted),) = self.road(wanted).tally(f"count(*), count(*) FILTER (WHERE state = 'new'), {marks}")
        return all, new, {mark: number for mark, number in zip(MARKS, counted, strict=True) if number}

    def count_by(self, column: str, wanted: Filter = ALL) -> Mapping[str, int]:
        """How many lots each source, venue, state or issue has."""
        if column not in ("source", "venue", "state", "issue"):
            raise ValueError(f"lots are not counted by {column}")
        return dict(self.road(wanted).tally(f"{column}, count(*)", f"GROUP BY {column}"))

    def road(self, wanted: Filter = ALL) -> Search:
        """A way through the lots of a filter by goes, each of a bounded length however few lots pass."""
        return Search(self._db, wanted)
