"""What the head line of the Tray counts, and the counting of it beside the screens."""

from __future__ import annotations

import threading
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from watchlist.core.sift.filter import Filter
from watchlist.desk.roll import WAITING, Moved, Roll
from watchlist.desk.source_health import standing
from watchlist.shelf.errors import ShelfError

if TYPE_CHECKING:
    from watchlist.screens.session import Session
    from watchlist.shelf.store import Store


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


class Counter:
    """Counts in threads beside the screens, one at a time; each count can be told to stop."""

    def __init__(self) -> None:
        self._turn = threading.Lock()
        self._store: Store | None = None
        self._stopped = threading.Event()

    def begin(self) -> threading.Event:
        """Stop what is being counted: the lots are others now. What stops the count that begins."""
        self._stopped.set()
        if (store := self._store) is not None:
            store.db.stop()
        self._stopped = threading.Event()
        return self._stopped

    def count(self, session: Session, roll: Roll, stopped: threading.Event, after: float) -> Counts | None:
        """Count in so many seconds; None when told to stop. In a thread of its own."""
        if stopped.wait(after):
            return None
        with self._turn, session.store() as store:
            self._store = store
            try:
                return None if stopped.is_set() else _counted(session, store, roll)
            except ShelfError:
                return None  # stopped, or a fault that the screens meet themselves
            finally:
                self._store = None


def _counted(session: Session, store: Store, roll: Roll) -> Counts:
    now = session.now
    shown = store.listing.count(roll.filter) if roll.exact else None
    all, new, marks = store.listing.census(Filter(states=WAITING, open_at=now))
    ok, late, number = standing(session.path, store, now)
    return Counts(shown, all, {str(mark): count for mark, count in marks.items()}, new, ok, late, number)
