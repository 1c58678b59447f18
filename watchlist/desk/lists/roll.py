"""The Tray's road to the store: a million lots by pages, in any order, both ways, sifted as one types."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from datetime import datetime

from watchlist.core.sift.filter import Filter
from watchlist.core.sift.line import STATES, WAITING, Sift
from watchlist.shelf.store import Store
from watchlist.shelf.store.filters import Order, Place
from watchlist.shelf.store.rows import LotLine

PAGE = 64
MOST = 5_000
"""Lots looked at in one go, whether they pass or not."""
HELD = 4096
"""Lines kept in memory at most; those far from the cursor are let go."""
GOES = 2
"""Goes before the screen gets its turn again."""


def in_tray(asked: Sift, now: datetime, among: frozenset[str] | None = None) -> Filter:
    """What a sift asks of the Tray: lots that can still be had, in their waiting states where it names none. Of those
    `among` which it looks, all that are in one parcel or group, a state is asked only where it is named."""
    found = asked.at(now)
    if among is not None:
        return replace(found, keys=among, states=found.states or frozenset(STATES.values()))
    return replace(found, states=found.states or WAITING, open_at=None if asked.states else now)


@dataclass(frozen=True, slots=True)
class Moved:
    """A line whose lot has changed its state."""

    at: int
    """Its position until then."""
    before: LotLine
    after: LotLine
    gone: bool
    """It belongs here no more."""


class Roll:
    """Lines of one sift in one order. Positions run on from 0, the first line looked at, and may be below it.

    `low` to `high` are held; `at_first` and `at_last` say that nothing lies beyond.
    """

    def __init__(
        self,
        store: Store,
        asked: Sift,
        now: datetime,
        order: Order = "closing",
        *,
        down: bool = False,
        start: Place | None = None,
        among: frozenset[str] | None = None,
    ) -> None:
        self.store, self.asked, self.now, self.order, self.down = store, asked, now, order, down
        self.filter = in_tray(asked, now, among)
        self._road = store.listing.road(self.filter)
        self._lines: dict[int, LotLine] = {}
        self.low = self.high = 0
        self.at_first, self.at_last = start is None, False
        self._ahead: Place | None = start
        """Where looking on goes on, behind the last line held."""
        self._behind: Place | None = start

    @property
    def exact(self) -> bool:
        """The store alone can count these lots."""
        return self._road.exact

    @property
    def known(self) -> int | None:
        """How many lines there are, when all were seen."""
        return self.high - self.low if self.at_first and self.at_last else None

    def line(self, at: int) -> LotLine | None:
        """The line at a position that is held."""
        return self._lines.get(at)

    def reach(self, at: int, *, patience: int = GOES) -> bool:
        """Read on until the position is held or no line is left. False: too long for one turn, call again."""
        idle = 0
        while (at >= self.high and not self.at_last) or (at < self.low and not self.at_first):
            if idle >= patience:
                return False
            before = self.high - self.low
            self._grow(back=at < self.low)
            idle += self.high - self.low - before < PAGE // 2
        self._let_go(at)
        return True

    def find(self, test: Callable[[LotLine], bool]) -> int | None:
        """The position of the first line held that passes."""
        return next((at for at in range(self.low, self.high) if test(self._lines[at])), None)

    def admits(self, line: LotLine) -> bool:
        """Whether a line belongs here."""
        if self.filter.keys is not None and line.key not in self.filter.keys:
            return False
        if self.filter.changed_by and not self.store.before.has_changed(line.key, self.now):
            return False
        looked_up = self.filter.wants or self.filter.wanted
        return self.filter.test(line, wants_of(line.key, self.store) if looked_up else None)

    def follow(self, changed: Mapping[str, LotLine]) -> list[Moved]:
        """Lots that are held have changed their states: those that belong here no more are taken out."""
        moved = [
            Moved(at, line, now, now.state not in self.filter.states)
            for at in range(self.low, self.high)
            if (now := changed.get((line := self._lines[at]).key)) is not None
        ]
        for each in moved:
            self._lines[each.at] = each.after
        gone = {each.at for each in moved if each.gone}
        kept = [self._lines[at] for at in range(self.low, self.high) if at not in gone]
        self._lines, self.high = dict(enumerate(kept, self.low)), self.low + len(kept)
        return moved

    def to_last(self) -> None:
        """Start again from the end: the last line is at position -1."""
        self._lines.clear()
        self.low = self.high = 0
        self.at_first, self.at_last = False, True
        self._behind, self._ahead = None, None
        self._grow(back=True)

    def _grow(self, *, back: bool) -> None:
        """One go on, or back."""
        after = self._behind if back else self._ahead
        found = self._road.go(self.order, down=self.down, after=after, back=back, limit=PAGE, most=MOST)
        for line in found.lines:
            if back:
                self.low -= 1
                self._lines[self.low] = line
            else:
                self._lines[self.high] = line
                self.high += 1
        if back:
            self._behind, self.at_first = found.at, found.ended
        else:
            self._ahead, self.at_last = found.at, found.ended

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


def wants_of(key: str, store: Store) -> tuple[str, ...]:
    """The wants that a lot answers; its line does not say them."""
    row = store.lots.get(key)
    return row.judgement.wants if row and row.judgement else ()
