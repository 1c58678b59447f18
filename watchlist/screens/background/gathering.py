"""A gather beside the person: how far it is stands in the status line, Esc stops it, and what came is kept."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from watchlist.screens.background.changes import Changes
from watchlist.screens.background.messages import Messages
from watchlist.screens.background.shelf_access import ShelfAccess
from watchlist.screens.background.tasks import Task
from watchlist.screens.background.work import Work
from watchlist.screens.sentences import gather_words

if TYPE_CHECKING:
    from watchlist.desk.gather.gathering import Progress


class Gathering:
    """One gather at a time."""

    def __init__(
        self, access: ShelfAccess, work: Work, changes: Changes, messages: Messages, over: Callable[[bool], None]
    ) -> None:
        self._access, self._work, self._changes, self._messages = access, work, changes, messages
        self._over = over
        self._task: Task | None = None

    @property
    def running(self) -> bool:
        """A gather is running."""
        return self._task is not None

    def start(self) -> None:
        """Read all sources."""
        from watchlist.desk.gather.gathering import Gather  # fetching, reading and judging: the first text does without

        if self._task is not None:
            self._messages.say("A gather is running; Esc stops it and saves what came.")
            return
        if not self._access.desk.sources:
            self._messages.say("No sources yet. Press 5, then a, to add one.")
            return
        gather = Gather(self._work.writing)

        def work() -> str:
            return gather_words(gather.run(lambda step: self._work.threads.soon(lambda: self._came(step))))

        self._task = Task("Gathering: asking the sources", stoppable=True, when_stopped=gather.stop)
        self._work.run(self._task, work, self._ended)

    def _came(self, step: Progress) -> None:
        """A source was read."""
        if self._task is not None:
            self._task.label, self._task.step = step.line, ""
        self._changes.happened(all=True)

    def _ended(self, _: object) -> None:
        task, self._task = self._task, None
        self._changes.happened(all=True)
        self._over(task is not None and task.stopped)
