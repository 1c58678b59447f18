"""What follows a change and takes long: bands and marks. Work of its own, which Esc stops and which then stays due."""

from __future__ import annotations

from collections.abc import Callable, Iterable

from watchlist.screens.background.work import Job, Work


class FollowUps:
    """Bands follow results in the background; while a gather is running they wait, for it fits at its end."""

    def __init__(self, work: Work, gathering: Callable[[], bool]) -> None:
        self._work, self._gathering = work, gathering
        self._due: frozenset[str] = frozenset()
        """Issues whose bands have to follow a result."""

    def bands(self, issues: Iterable[str]) -> None:
        """A result of these issues, or a word on one, was written down."""
        self._due |= frozenset(issues)
        if not self._gathering():
            self._fit()

    def gathered(self, stopped: bool) -> None:
        """A gather is over."""
        if not stopped:
            self._fit()

    def marks(self, job: Job, label: str = "Prices and marks follow") -> None:
        """All lots are judged anew."""
        self._work.write(label, job, stoppable=True)

    def _fit(self) -> None:
        from watchlist.desk.following import follow_issues  # it judges: the first text does without

        due, self._due = self._due, frozenset()
        if due:
            self._work.write("Fitting the market", lambda desk: follow_issues(desk, due), stoppable=True)
