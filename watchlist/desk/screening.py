"""The Tray's road to the store: a million lots by pages, in any order, both ways, sifted as one types."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import datetime
from decimal import Decimal

from watchlist.core.sift import line as sift
from watchlist.core.sift.line import Sift, SiftRow
from watchlist.shelf.store import Store
from watchlist.shelf.store.filters import Filter, Order, Place
from watchlist.shelf.store.rows import LotLine

PAGE = 64
HELD = 4096
"""Lines kept in memory at most; those far from the cursor are let go."""
LOOKED = 4000
"""Lines tested in one go before the screen gets its turn again."""
MANY = 20_000
"""From so many lots on words are looked up in the full text first."""
WAITING = frozenset({"new", "seen", "followed", "bid"})
"""States of the lots that lie in the Tray when a sift names none."""
FIRST_COLUMN = {"closing": 0, "title": 1, "gap": 2, "all_in": 3, "mark": 4}
NULLS_LAST = frozenset({"gap", "all_in", "mark"})


def wanted(asked: Sift, now: datetime, store: Store) -> tuple[Filter, bool]:
    """What the store looks up for a sift, and whether each line needs a test besides."""
    bounds = asked.to_filter(now)
    open_at = None if asked.states else now
    found = Filter(
        marks=bounds.marks, states=bounds.states or WAITING, all_in_min=bounds.all_in_min, all_in_max=bounds.all_in_max,
        gap_min=bounds.gap_min, gap_max=bounds.gap_max, closes_after=bounds.closes_after,
        closes_before=bounds.closes_before, open_at=open_at,
        issue=bounds.issues[0] if len(bounds.issues) == 1 else "",
        want=bounds.wants[0] if len(bounds.wants) == 1 else "",
    )
    venues = [name for name in store.names("venue") if _of_venue(asked, name)] if asked.venues else []
    if len(venues) == 1:
        found = replace(found, venue=venues[0])
    many = bool(asked.words) and store.count() > MANY
    if many:
        found = replace(found, include=asked.words)
    rest = bool(asked.words or asked.not_words or asked.sellers or len(asked.wants) > 1 or len(asked.issues) > 1
                or (asked.venues and len(venues) != 1))
    return found, rest


def _of_venue(asked: Sift, name: str) -> bool:
    return any(sift.holds(venue, name) for venue in asked.venues)


def passes(line: LotLine, asked: Sift, now: datetime, store: Store) -> bool:
    """Whether a line meets the sift."""
    wants = asked.wants if len(asked.wants) == 1 else _wants(line, asked, store)
    row = SiftRow(
        title=line.title, venue=line.venue, seller=line.seller, issue=line.issue or None, wants=wants,
        mark=line.mark or "unclear", state=line.state, closes=line.closes, first_seen=line.first_seen,
        all_in=None if line.all_in is None else Decimal(str(line.all_in)),
        gap=None if line.gap is None else Decimal(str(line.gap)),
    )
    return asked.test(row, now)


def _wants(line: LotLine, asked: Sift, store: Store) -> tuple[str, ...]:
    row = store.lot(line.key) if asked.wants else None
    return row.judgement.wants if row and row.judgement else ()


class Roll:
    """Lines of one sift in one order. Positions run on from 0, the first line looked at, and may be below it.

    `low` to `high` are held; `at_first` and `at_last` say that nothing lies beyond.
    """

    def __init__(
        self, store: Store, asked: Sift, now: datetime, order: Order = "closing", *, down: bool = False,
        start: Place | None = None,
    ) -> None:
        self.store, self.asked, self.now, self.order, self.down = store, asked, now, order, down
        self.filter, self._rest = wanted(asked, now, store)
        self._lines: dict[int, LotLine] = {}
        self.low = self.high = 0
        self.at_first, self.at_last = start is None, False
        self._ahead: Place | None = start
        """Where looking on goes on, behind the last line held."""
        self._behind: Place | None = start
        self.looked = 0

    @property
    def exact(self) -> bool:
        """The store alone can count these lots."""
        return not self._rest

    @property
    def known(self) -> int | None:
        """How many lines there are, when all were seen."""
        return self.high - self.low if self.at_first and self.at_last else None

    def line(self, at: int) -> LotLine | None:
        """The line at a position that is held."""
        return self._lines.get(at)

    def reach(self, at: int, *, patience: int = LOOKED) -> bool:
        """Read on until the position is held or no line is left. False: too long for one go, call again."""
        budget = patience
        while at >= self.high and not self.at_last:
            if budget <= 0:
                return False
            budget -= self._grow_down()
        while at < self.low and not self.at_first:
            if budget <= 0:
                return False
            budget -= self._grow_up()
        self._let_go(at)
        return True

    def find(self, test: Callable[[LotLine], bool]) -> int | None:
        """The position of the first line held that passes."""
        return next((at for at in range(self.low, self.high) if test(self._lines[at])), None)

    def to_last(self) -> None:
        """Start again from the end: the last line is at position -1."""
        self._lines.clear()
        self.low = self.high = 0
        self.at_first, self.at_last = False, True
        self._behind, self._ahead = None, None
        self._grow_up()

    def _grow_down(self) -> int:
        page = self.store.lines(self.filter, self.order, down=self.down, after=self._ahead, limit=PAGE)
        if len(page) < PAGE:
            self.at_last = True
        if page:
            self._ahead = page[-1].place
        for line in page:
            if self._passes(line):
                self._lines[self.high] = line
                self.high += 1
        self.looked += len(page)
        return max(len(page), 1)

    def _grow_up(self) -> int:
        page = self._before(self._behind)
        if len(page) < PAGE:
            self.at_first = True
        if page:
            self._behind = page[-1].place
        for line in page:
            if self._passes(line):
                self.low -= 1
                self._lines[self.low] = line
        return max(len(page), 1)

    def _before(self, place: Place | None) -> list[LotLine]:
        """The page before a place, nearest first. Unknown figures come last in both directions of an order."""
        if self.order not in NULLS_LAST:
            return self.store.lines(self.filter, self.order, down=not self.down, after=place, limit=PAGE)
        column = FIRST_COLUMN[self.order]
        page: list[LotLine] = []
        if place is None or place.values[column] is None:
            start = place or _beyond(self.down)
            page = self.store.lines(self.filter, self.order, down=not self.down, after=start, limit=PAGE)
            place = None
        if len(page) < PAGE:
            more = self.store.lines(self.filter, self.order, down=not self.down, after=place, limit=PAGE - len(page))
            page += [line for line in more if line.place.values[column] is not None]
        return page

    def _passes(self, line: LotLine) -> bool:
        return not self._rest or passes(line, self.asked, self.now, self.store)

    def _let_go(self, at: int) -> None:
        """Forget lines far from the position, so that memory stays small however far one goes."""
        if self.high - self.low <= HELD:
            return
        keep = HELD // 2
        if at - self.low > keep:
            for place in range(self.low, at - keep):
                del self._lines[place]
            self.low, self.at_first = at - keep, False
            self._behind = self._lines[self.low].place
        elif self.high - at > keep:
            for place in range(at + keep, self.high):
                del self._lines[place]
            self.high, self.at_last = at + keep, False
            self._ahead = self._lines[self.high - 1].place


def _beyond(down: bool) -> Place:
    """A place behind all lots of unknown figure, in an order that runs `down` or up."""
    far = -1 if down else 2**62
    return Place((far, "", None, None, None), far)
