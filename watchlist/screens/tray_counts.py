"""What the head line of the Tray counts, and the counting of it beside the screens."""

from __future__ import annotations

import threading
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field, replace

from textual.timer import Timer

from watchlist.core.sift.filter import Filter
from watchlist.core.sift.line import WAITING
from watchlist.desk.gather.source_health import standing
from watchlist.desk.lists.roll import Moved, Roll
from watchlist.screens.background.shelf_access import ShelfAccess
from watchlist.screens.background.work import Threads
from watchlist.shelf.errors import ShelfError
from watchlist.shelf.store import Store

COUNT_DELAY = 0.2
"""Seconds after the last letter of a sift, or a change of the shelf, before all is counted."""
RECOUNT_DELAY = 2.0
"""Seconds after the last decision: the counts were put right by the decision itself, so there is no hurry."""
Later = Callable[[float, Callable[[], None]], Timer]
"""Does something in so many seconds."""


@dataclass(frozen=True, slots=True)
class Counts:
    """What the head line counts; None is not known yet."""

    shown: int | None = None
    all: int | None = None
    marks: Mapping[str, int] = field(default_factory=dict)
    new: int = 0
    ok: int = 0
    late: int = 0
    sources: int = 0

    def after(self, moved: Iterable[Moved]) -> Counts:
        """The counts when lots have changed their states."""
        counts = self
        for each in moved:
            counts = counts._one(each)
        return counts

    def _one(self, moved: Moved) -> Counts:
        if self.all is None:
            return self
        before, after = moved.before.state, moved.after.state
        by = (after in WAITING) - (before in WAITING)
        marks = dict(self.marks)
        if moved.after.mark is not None:
            marks[moved.after.mark] = marks.get(moved.after.mark, 0) + by
        shown = self.shown - moved.gone if self.shown is not None else None
        new = self.new + (after == "new") - (before == "new")
        return replace(self, shown=shown, all=self.all + by, marks=marks, new=new)


class TrayCounts:
    """Counts in threads beside the screens, one at a time; each count can be told to stop."""

    def __init__(self, access: ShelfAccess, threads: Threads, later: Later, show: Callable[[], None]) -> None:
        self._access, self._threads, self._later, self._show = access, threads, later, show
        self.counts = Counts()
        self._due: Timer | None = None
        self._counting = False
        """What was counted is not right at present: a count is on its way."""
        self._turn = threading.Lock()
        self._store: Store | None = None
        self._stopped = threading.Event()

    def count(self, roll: Roll, *, at_once: bool = False) -> None:
        """Count soon, unless it is asked for again: a million lots take a while."""
        stopped, after = self._begin(), 0.0 if at_once else COUNT_DELAY
        self._counting = True

        def work() -> None:
            counts = self._count(roll, stopped, after)
            if counts is not None:
                self._threads.back(lambda: self._counted(stopped, counts))

        self._threads.start(work)

    def sifted(self) -> None:
        """Other lots are shown: how many is not known yet."""
        self.counts = replace(self.counts, shown=None)

    def decided(self, moved: Iterable[Moved], roll: Roll) -> None:
        """Lots have changed their states: that puts the counts right, if they were. Count when no decision has come
        for a while."""
        self.counts = self.counts.after(moved)
        if self._counting:
            self.count(roll)
        else:
            self._begin()
            self._due = self._later(RECOUNT_DELAY, lambda: self.count(roll, at_once=True))

    def _begin(self) -> threading.Event:
        """Stop what is being counted: the lots are others now. What stops the count that begins."""
        if self._due is not None:
            self._due.stop()
        self._stopped.set()
        if (store := self._store) is not None:
            store.db.stop()
        self._stopped = threading.Event()
        return self._stopped

    def _count(self, roll: Roll, stopped: threading.Event, after: float) -> Counts | None:
        """In a thread of its own; None when told to stop."""
        if stopped.wait(after):
            return None
        with self._turn, self._access.store() as store:
            self._store = store
            try:
                return None if stopped.is_set() else _counted(self._access, store, roll)
            except ShelfError:
                return None  # stopped, or a fault that the screens meet themselves
            finally:
                self._store = None

    def _counted(self, stopped: threading.Event, counts: Counts) -> None:
        if not stopped.is_set():
            self.counts, self._counting = counts, False
            self._show()


def _counted(access: ShelfAccess, store: Store, roll: Roll) -> Counts:
    now = access.now
    shown = store.listing.count(roll.filter) if roll.exact else None
    all, new, marks = store.listing.census(Filter(states=WAITING, open_at=now))
    ok, late, number = standing(access.path, store, now)
    return Counts(shown, all, {str(mark): count for mark, count in marks.items()}, new, ok, late, number)
