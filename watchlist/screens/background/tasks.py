"""Work in the background: how far each piece is, and how it is told to stop."""

from __future__ import annotations

import threading
from collections.abc import Callable
from dataclasses import dataclass, field


@dataclass(slots=True, eq=False)
class Task:
    """One piece of work. `stop` may be called from another thread."""

    label: str
    stoppable: bool = False
    step: str = ""
    """What it does at the moment, with its share; empty before the first step."""
    when_stopped: Callable[[], None] = lambda: None
    _stopped: threading.Event = field(default_factory=threading.Event)

    @property
    def stopped(self) -> bool:
        """It was told to stop."""
        return self._stopped.is_set()

    def stop(self) -> None:
        """Ask it to end at its next step."""
        self._stopped.set()
        self.when_stopped()

    def going(self, words: str, share: float) -> bool:
        """Note a step of it; False once it was told to stop."""
        self.step = f"{words}, {share:.0%}"
        return not self.stopped

    @property
    def line(self) -> str:
        """`Recalculating bands: fitting the curves, 50%; Esc stops`."""
        if self.stopped:
            return f"Stopping: {self.label[:1].lower()}{self.label[1:]}"
        now = f"{self.label.partition(':')[0]}: {self.step}" if self.step else self.label
        return f"{now}{'; Esc stops' if self.stoppable else '..'}"


class Tasks:
    """All work that goes on beside a person at the screens, oldest first."""

    def __init__(self) -> None:
        self._going: list[Task] = []
        self._mine = threading.local()

    def add(self, task: Task) -> Task:
        """A piece of work begins."""
        self._going.append(task)
        return task

    def end(self, task: Task) -> None:
        """It is over; once is enough."""
        if task in self._going:
            self._going.remove(task)

    def run(self, task: Task, work: Callable[[], None]) -> None:
        """Do the work in this thread, whose steps are then this task's."""
        self._mine.task = task
        try:
            work()
        finally:
            self._mine.task = None

    @property
    def mine(self) -> Task | None:
        """The task of the thread that asks."""
        return getattr(self._mine, "task", None)

    @property
    def line(self) -> str:
        """The newest one's line; empty when nothing goes on."""
        return self._going[-1].line if self._going else ""

    @property
    def can_stop(self) -> bool:
        """Something goes on that Esc would stop."""
        return any(each.stoppable and not each.stopped for each in self._going)

    def stop(self, *, all: bool = False) -> bool:
        """Stop what can be stopped, or all of it: the program ends. False when there was nothing to stop."""
        found = [each for each in self._going if (all or each.stoppable) and not each.stopped]
        for each in found:
            each.stop()
        return bool(found)
