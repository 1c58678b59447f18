"""What follows a change and takes long: bands and marks. Work of its own, which Esc stops and which then stays due."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from watchlist.desk.due import NOTHING, Due
from watchlist.screens.background.work import Work

if TYPE_CHECKING:
    from watchlist.desk.desk import Desk


class FollowUps:
    """Bands follow results in the background; while a gather is running they wait, for it fits at its end."""

    def __init__(self, work: Work, gathering: Callable[[], bool]) -> None:
        self._work, self._gathering = work, gathering
        self._due = NOTHING
        """What bands and marks have to do after results."""

    def bands(self, due: Due) -> None:
        """A result was written down, or a word on one."""
        self._due |= due
        if not self._gathering():
            self._fit()

    def gathered(self, stopped: bool) -> None:
        """A gather is over."""
        if not stopped:
            self._fit()

    def settle(self, due: Due, label: str = "Prices and marks follow") -> None:
        """Do what is due, with this label."""

        def job(desk: Desk) -> None:
            from watchlist.desk.settling import settle  # it fits, reads and judges: the first text does without

            settle(desk, due)

        self._work.write(label, job, stoppable=True)

    def _fit(self) -> None:
        due, self._due = self._due, NOTHING
        if due:
            self.settle(due, "Recalculating bands")
