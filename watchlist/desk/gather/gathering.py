"""A gather: every source asked, what came taken in, then bands and marks that follow. One road for all who gather."""

from __future__ import annotations

import gc
import threading
from collections.abc import Callable, Iterator, Sequence
from contextlib import AbstractContextManager, contextmanager, nullcontext
from dataclasses import dataclass
from datetime import datetime

from watchlist.core.lots.source import Source, is_web
from watchlist.core.sift.filter import Filter
from watchlist.desk import naming
from watchlist.desk.desk import Desk
from watchlist.desk.due import Due
from watchlist.desk.errors import Stopped
from watchlist.desk.gather import intake
from watchlist.desk.gather.fetching import Fetching
from watchlist.desk.gather.intake import Found, SourceReport
from watchlist.desk.gather_times import gather_before, gather_begins
from watchlist.desk.results import results
from watchlist.desk.settling import AFTER_GATHER, outstanding, settle
from watchlist.desk.titles.rereading import remember_services
from watchlist.feeds.answers import Ask, Fetched
from watchlist.feeds.failures import FetchError

Opening = Callable[[], AbstractContextManager[Desk]]
"""Gives the desk for one step of a gather; between two steps others may write."""


def gather(desk: Desk, names: Sequence[str] = (), *, offline: bool = False) -> Iterator[SourceReport]:
    """Fetch and take in all sources, or those named; a report each, as they finish.

    Closing the iterator stops the gather: what came is kept. Raises DeskError for a name that is no source.
    """
    return iter(Gather(lambda: nullcontext(desk), names, offline=offline))


@dataclass(frozen=True, slots=True)
class Progress:
    """How far a gather is."""

    done: int
    all: int
    report: SourceReport | None = None

    @property
    def line(self) -> str:
        """`Gathering 3 of 5: north, 120 lots`."""
        last = self.report
        tail = f": {last.name}, {f'{last.lots} lots' if not last.failed else 'failed'}" if last else ""
        return f"Gathering {self.done} of {self.all}{tail}"


@dataclass(frozen=True, slots=True)
class Gathered:
    """What a gather gave."""

    reports: tuple[SourceReport, ...]
    stopped: bool
    due: str = ""
    """What was left undone, in one sentence."""


class Gather:
    """One gather, to be iterated over once. `stop` may be called from another thread."""

    def __init__(self, opening: Opening, names: Sequence[str] = (), *, offline: bool = False) -> None:
        self._open, self._names, self._offline = opening, names, offline
        self._stopped = threading.Event()
        self._fetching: Fetching | None = None
        self._found = Found()
        self.sources = 0
        """How many sources it is about; known once it has begun."""
        self.due = ""
        """What its end left to the next gather, in one sentence; empty when nothing."""

    @property
    def stopped(self) -> bool:
        """It was told to stop."""
        return self._stopped.is_set()

    def stop(self) -> None:
        """Take no further source in; what came is kept."""
        self._stopped.set()
        if self._fetching is not None:
            self._fetching.stop()

    def __iter__(self) -> Iterator[SourceReport]:
        """A report for each source. Raises what opening the desk raises."""
        with _seldom_swept():
            yield from self._gather()

    def run(self, tell: Callable[[Progress], None]) -> Gathered:
        """Gather to the end, telling how far it is. Raises ShelfLocked when another process writes."""
        reports: list[SourceReport] = []
        for report in self:
            reports.append(report)
            tell(Progress(len(reports), self.sources, report))
        return Gathered(tuple(reports), self.stopped, self.due)

    def _gather(self) -> Iterator[SourceReport]:
        with self._open() as desk:
            sources = [naming.source(desk.sources, name) for name in self._names] or list(desk.sources.values())
            self.sources = len(sources)
            begin(desk)
            results.heal(desk)
            self._settle(desk, outstanding(desk))  # lots kept before follow what changed before new ones join
            waits = {source.name: waiting(desk, source, self._offline) for source in sources}
            asks = [ask(desk, source) for source in sources if not waits[source.name]]
            now = desk.now
        try:
            yield from (SourceReport(name, note=why) for name, why in waits.items() if why)
            yield from self._take_all(asks, now)
        except BaseException:
            self._stopped.set()
            raise
        finally:
            self._finish()

    def _settle(self, desk: Desk, due: Due) -> None:
        """Carry out what is due; when that is stopped, the whole gather is, and what was left undone is said."""
        try:
            settle(desk, due)
        except Stopped as stopped:
            self.due = str(stopped)
            self.stop()

    def _take_all(self, asks: Sequence[Ask], now: datetime) -> Iterator[SourceReport]:
        if self._stopped.is_set():
            return
        self._fetching = Fetching(asks, now)
        try:
            for asked, came in self._fetching:
                if self._stopped.is_set():
                    break
                yield self._take(asked.name, came)
        finally:
            self._fetching.stop()

    def _take(self, name: str, came: Fetched | FetchError) -> SourceReport:
        """Take one answer in. Reading needs no shelf: others may write meanwhile."""
        with self._open() as desk:
            source = desk.sources.get(name)
            if source is None:
                return SourceReport(name, note="removed meanwhile")
            if isinstance(came, Exception) or not intake.has_body(came):
                return intake.take(desk, source, came, self._found)
            seen = desk.shelf.store.feeds.seen(name)
        body = intake.read_body(source, came, seen)
        with self._open() as desk:
            return intake.take(desk, source, body, self._found)

    def _finish(self) -> None:
        """Lots that have ended; then bands and marks follow, or are left to the next gather when this was stopped."""
        with self._open() as desk:
            desk.owed.add(AFTER_GATHER | Due(marks_of=frozenset(self._found.touched)))
            due = outstanding(desk)
            if not self.stopped:
                self._settle(desk, due)
                return
            settle(desk, Due(ended=True))
            self.due = self.due or due.left


SWEEP = 100_000
"""New objects between two of Python's sweeps for cycles: a gather makes many objects, few of them in cycles."""


@contextmanager
def _seldom_swept() -> Iterator[None]:
    """Sweeps at the usual pace took a seventh of a gather's time."""
    before = gc.get_threshold()
    gc.set_threshold(SWEEP, *before[1:])
    try:
        yield
    finally:
        gc.set_threshold(*before)


def begin(desk: Desk) -> None:
    """What was new at the last gather has been there since."""
    store = desk.shelf.store
    gather_begins(store, desk.now)
    store.before.take(gather_before(store) or desk.now)
    remember_services(desk)
    old = [(line.key, "seen") for line in store.listing.each(Filter(states=frozenset({"new"})))]
    store.lots.set_states(old)  # type: ignore[arg-type]


def waiting(desk: Desk, source: Source, offline: bool) -> str:
    """Why a source is not asked now; empty when it is."""
    if source.disabled:
        return f"not asked: {source.disabled}"
    if offline and is_web(source.address):
        return "not asked: offline"
    until = desk.shelf.store.feeds.state(source.name).get("retry_after")
    if until and datetime.fromisoformat(until) > desk.now:
        return f"not asked before {until[:16]} at its request"
    return ""


def ask(desk: Desk, source: Source) -> Ask:
    """What to ask a source, with what is remembered of its last answer."""
    state = desk.shelf.store.feeds.state(source.name)
    return Ask(source.name, source.address, state.get("etag", ""), state.get("last_modified", ""), source.headers)
