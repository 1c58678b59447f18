"""A gather beside a person at the screens.

The shelf is locked only while one source is taken in, so decisions go on; any wait for a source can be ended.
"""

from __future__ import annotations

import threading
from collections.abc import Callable
from contextlib import AbstractContextManager
from dataclasses import dataclass

from watchlist.core.prices.realised import PriceRealised
from watchlist.desk import judging, pricing
from watchlist.desk.desk import Desk
from watchlist.desk.fetching import Fetching
from watchlist.desk.gathering import SourceReport, _ask, _begin, _finish, _follow_rules, _take, _waits, _Work

Opening = Callable[[], AbstractContextManager[Desk]]


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


class Gather:
    """One gather in the background. `run` blocks; `stop` may be called from another thread."""

    def __init__(self, opening: Opening, tell: Callable[[Progress], None]) -> None:
        self._open, self._tell = opening, tell
        self._stopped = threading.Event()
        self._fetching: Fetching | None = None
        self.reports: list[SourceReport] = []

    @property
    def stopped(self) -> bool:
        """It was told to stop."""
        return self._stopped.is_set()

    def stop(self) -> None:
        """Take no further source in; what came is kept."""
        self._stopped.set()
        if self._fetching is not None:
            self._fetching.stop()

    def run(self) -> list[SourceReport]:
        """Fetch and take in all sources. Raises ShelfLocked when another gather is at work."""
        with self._open() as desk:
            _begin(desk)
            if pricing.is_dirty(desk) and desk.shelf.store.prices_kept():
                pricing.refit(desk, search=False)
            _follow_rules(desk)
            sources = list(desk.sources.values())
            waits = {source.name: _waits(desk, source, False) for source in sources}
            asks = [_ask(desk, source) for source in sources if not waits[source.name]]
            now = desk.now
        self._all = len(sources)
        for name, why in waits.items():
            if why:
                self._done(SourceReport(name, note=why))
        self._fetching = Fetching(asks, now)
        results: list[PriceRealised] = []
        touched: set[str] = set()
        try:
            for ask, came in self._fetching:
                if self._stopped.is_set():
                    break
                with self._open() as desk:
                    work = _Work(desk, judging.Judge(desk), results, touched)
                    report = _take(work, desk.sources[ask.name], came)
                self._done(report)
        finally:
            self._fetching.stop()
        with self._open() as desk:
            _finish(_Work(desk, judging.Judge(desk), results, touched))
        return self.reports

    def _done(self, report: SourceReport) -> None:
        self.reports.append(report)
        self._tell(Progress(len(self.reports), self._all, report))
