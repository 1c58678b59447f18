"""Work in the background of the screens: gathers, fits, look-ups; how far it is, and Esc that stops it."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, contextmanager, suppress
from typing import TYPE_CHECKING, Any

from watchlist.screens.ahead import Ahead
from watchlist.screens.session import Session
from watchlist.screens.tasks import Task, Tasks
from watchlist.screens.told import gather_words, why_it_ended

if TYPE_CHECKING:
    from watchlist.desk.desk import Desk
    from watchlist.desk.gathering import Gather, Progress


class Working(Ahead, inherit_bindings=False):
    """A program that works beside the person."""

    def __init__(self, session: Session, *, ansi_color: bool | None) -> None:
        self.session = session
        self.tasks = Tasks()
        self._gather: Gather | None = None
        self._gather_task: Task | None = None
        super().__init__(ansi_color=ansi_color)

    # --- what the screens give ---

    def say(self, text: str, *, trouble: bool = False) -> None:
        """A message."""
        raise NotImplementedError

    def show_status(self) -> None:
        """Draw the status line anew."""
        raise NotImplementedError

    def changed(self, *, all: bool = False) -> None:
        """The shelf was written to."""
        raise NotImplementedError

    def gathered(self, *, stopped: bool) -> None:
        """A gather is over."""

    # --- work ---

    def work(
        self,
        label: str,
        job: Callable[[Desk], Any],
        done: Callable[[Any], None] | None = None,
        *,
        stoppable: bool = False,
    ) -> None:
        """Do something long that writes, in the background. What it returns is said if it is words.

        A stoppable job calls `going` at its steps and ends when that says False: Esc was pressed."""
        task = self.tasks.add(Task(label, stoppable))
        self._start_work(task, self._long_writing, job, done, wrote=True)

    @contextmanager
    def _long_writing(self) -> Iterator[Desk]:
        """A desk for long work: it says how far it is, gives way to decisions and hears Esc."""
        with self.session.pen.hold() as desk:
            desk.go_on = self.going
            yield desk

    def look_up(self, label: str, job: Callable[[Desk], Any], done: Callable[[Any], None]) -> None:
        """Do something long that only reads."""
        self._start_work(self.tasks.add(Task(label)), self.session.reading, job, done, wrote=False)

    def going(self, words: str, share: float) -> bool:
        """For a job in the background: show its step and let decisions be written; False: Esc was pressed, so end."""
        self.session.pen.give_way()
        task = self.tasks.mine
        if task is None:
            return True
        before = task.line
        going = task.going(words, share)
        if task.line != before:
            self.soon(self.show_status)
        return going

    def soon(self, show: Callable[[], None]) -> None:
        """Do it in the screens' own thread, soon; nobody waits for it, and after the end nobody misses it."""
        with suppress(RuntimeError):
            if self._loop is not None:
                self._loop.call_soon_threadsafe(self.call_later, show)

    def _start_work(
        self,
        task: Task,
        opening: Callable[[], AbstractContextManager[Desk]],
        job: Callable[[Desk], Any],
        done: Callable[[Any], None] | None,
        *,
        wrote: bool,
    ) -> None:
        def work() -> None:
            try:
                with opening() as desk:
                    found = job(desk)
            except Exception as error:  # a fault of ours must not take the screens down with it
                self.call_from_thread(self._work_over, task, why_it_ended(error), None, None, wrote)
            else:
                said = found if isinstance(found, str) else ""
                self.call_from_thread(self._work_over, task, said, done, found, wrote)

        self.show_status()
        self.run_worker(lambda: self.tasks.run(task, work), thread=True, group="work", exit_on_error=False)

    def _work_over(self, task: Task, text: str, done: Callable[[Any], None] | None, found: Any, wrote: bool) -> None:
        self.tasks.end(task)
        if wrote:
            self.changed(all=True)
        if done is not None:
            done(found)
        if text:
            self.say(text)
        self.show_status()

    # --- gathering ---

    def gather(self) -> None:
        """Read all sources in the background; Esc stops it and keeps what came."""
        from watchlist.desk.gathering import Gather

        if self._gather is not None:
            self.say("A gather is running; Esc stops it and keeps what came.")
            return
        if not self.session.desk.sources:
            self.say("No sources yet. 5, then a, adds one.")
            return
        self._gather = Gather(self._long_writing)
        task = self._gather_task = self.tasks.add(Task("Gathering: asking the sources", stoppable=True))
        self.show_status()
        self.run_worker(
            lambda: self.tasks.run(task, self._run_gather), thread=True, group="gather", exit_on_error=False
        )

    def _run_gather(self) -> None:
        assert self._gather is not None
        try:
            text = gather_words(self._gather.run(lambda step: self.soon(lambda: self._gathered(step))))
        except Exception as error:  # a fault of ours must not take the screens down with it
            text = why_it_ended(error)
        self.call_from_thread(self._gather_over, text)

    def _gathered(self, step: Progress) -> None:
        if self._gather_task is not None:
            self._gather_task.label, self._gather_task.step = step.line, ""
        self.changed(all=True)
        self.show_status()

    def _gather_over(self, text: str) -> None:
        task, self._gather, self._gather_task = self._gather_task, None, None
        if task is not None:
            self.tasks.end(task)
        self.changed(all=True)
        self.say(text)
        self.gathered(stopped=task is not None and task.stopped)

    @property
    def gathering(self) -> bool:
        """A gather is running."""
        return self._gather is not None

    @property
    def busy(self) -> bool:
        """Something goes on that Esc would stop."""
        return self.tasks.can_stop

    def stop_work(self, *, all: bool = False) -> bool:
        """Stop what goes on in the background; False when Esc has nothing to stop there."""
        stopped = self.tasks.stop(all=all)
        if self._gather is not None and self._gather_task is not None and self._gather_task.stopped:
            self._gather.stop()
        self.show_status()
        return stopped
