"""A gather beside a person at the screens: how far it is, told as it goes on."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from watchlist.desk.gathering import Gather, Opening
from watchlist.desk.intake import SourceReport


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


class Standing:
    """One gather in the background. `run` blocks; `stop` may be called from another thread."""

    def __init__(self, opening: Opening, tell: Callable[[Progress], None]) -> None:
        self._gather, self._tell = Gather(opening), tell

    def stop(self) -> None:
        """Take no further source in; what came is kept."""
        self._gather.stop()

    def run(self) -> Gathered:
        """Fetch and take in all sources. Raises ShelfLocked when another process writes."""
        reports: list[SourceReport] = []
        for report in self._gather:
            reports.append(report)
            self._tell(Progress(len(reports), self._gather.sources, report))
        return Gathered(tuple(reports), self._gather.stopped, self._gather.due)
