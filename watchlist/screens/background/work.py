"""Work beside the screens: what writes for long, and what looks something up; how far it is, and Esc that stops it."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, contextmanager
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from watchlist.screens.background.changes import Changes
from watchlist.screens.background.messages import Messages
from watchlist.screens.background.pen import Pen
from watchlist.screens.background.tasks import Task, Tasks
from watchlist.screens.sentences import why_it_ended

if TYPE_CHECKING:
    from watchlist.desk.desk import Desk

Job = Callable[["Desk"], Any]
Opening = Callable[[], AbstractContextManager["Desk"]]


@dataclass(frozen=True, slots=True)
class Threads:
    """How work gets into a thread of its own, and its results back into that of the screens."""

    start: Callable[[Callable[[], None]], object]
    """Run it in a thread of its own."""
    back: Callable[[Callable[[], None]], object]
    """Do it in the screens' thread, and wait until it is done."""
    soon: Callable[[Callable[[], None]], None]
    """Do it in the screens' thread; nobody waits for it, and after the end nobody misses it."""


class Work:
    """What goes on in the background."""

    def __init__(
        self,
        pen: Pen,
        reading: Opening,
        threads: Threads,
        messages: Messages,
        changes: Changes,
        show: Callable[[], None],
    ) -> None:
        self._pen, self._reading, self.threads = pen, reading, threads
        self._messages, self._changes, self._show = messages, changes, show
        self.tasks = Tasks()

    def write(
        self, label: str, job: Job, done: Callable[[Any], None] | None = None, *, stoppable: bool = False
    ) -> None:
        """Do something long that writes. What it returns is said if it is words.

        A stoppable job calls the desk's `go_on` at its steps and ends when that says False: Esc was pressed."""

        def over(found: Any) -> None:
            self._changes.happened(all=True)
            if done is not None and not isinstance(found, _Broken):
                done(found)

        self._start(Task(label, stoppable), self.writing, job, over)

    def look_up(self, label: str, job: Job, done: Callable[[Any], None], *, stoppable: bool = False) -> None:
        """Do something long that only reads; where it is stoppable, the desk's `go_on` says so as for writing."""

        def over(found: Any) -> None:
            if not isinstance(found, _Broken):
                done(found)

        self._start(Task(label, stoppable), self._looking, job, over)

    @contextmanager
    def _looking(self) -> Iterator[Desk]:
        with self._reading() as desk:
            desk.go_on = self._step
            yield desk

    @contextmanager
    def writing(self) -> Iterator[Desk]:
        """A desk for long work: it says how far it is, gives way to decisions and hears Esc."""
        with self._pen.hold() as desk:
            desk.go_on = self.going
            yield desk

    def going(self, words: str, share: float) -> bool:
        """For a job in the background: show its step and let decisions be written; False: Esc was pressed, so end."""
        self._pen.give_way()
        return self._step(words, share)

    def _step(self, words: str, share: float) -> bool:
        task = self.tasks.mine
        if task is None:
            return True
        before = task.line
        going = task.going(words, share)
        if task.line != before:
            self.threads.soon(self._show)
        return going

    def run(self, task: Task, work: Callable[[], Any], over: Callable[[Any], None]) -> None:
        """Do the work in a thread of its own as a task that Esc may stop; `over` follows in the screens' thread,
        with what came of it or with why it broke off. What is words is said."""

        def run() -> None:
            try:
                found = work()
            except Exception as error:  # an internal error must not take the screens down with it
                found = _Broken(why_it_ended(error))
            self.threads.back(lambda: self._over(task, over, found))

        self.tasks.add(task)
        self._show()
        self.threads.start(lambda: self.tasks.run(task, run))

    def _start(self, task: Task, opening: Opening, job: Job, over: Callable[[Any], None]) -> None:
        def work() -> Any:
            with opening() as desk:
                return job(desk)

        self.run(task, work, over)

    def _over(self, task: Task, over: Callable[[Any], None], found: Any) -> None:
        self.tasks.end(task)
        over(found)
        if isinstance(found, str) and found:
            self._messages.say(found)
        self._show()

    def stop(self, *, all: bool = False) -> bool:
        """Stop what goes on, or all of it: the program ends; False when there was nothing for Esc to stop."""
        stopped = self.tasks.stop(all=all)
        self._show()
        return stopped


class _Broken(str):
    """Why work broke off."""

    __slots__ = ()
