"""The one pen of the screens: whoever writes holds it, and what a person decides is written in the order of the keys.

Where the pen is free a decision is written at once. While a gather or other work of ours holds it, the decision waits
and is written by the holder between two of its steps. Nothing is said to be done before it is on the disk.
"""

from __future__ import annotations

import threading
from collections import deque
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, contextmanager
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from watchlist.shelf.errors import ShelfLocked

if TYPE_CHECKING:
    from watchlist.desk.desk import Desk

WAIT = 1.0
"""Seconds a decision waits for another process that writes before it is given back."""
LONG_WAIT = 5.0
"""Seconds that long work waits for it."""
Opening = Callable[[float], AbstractContextManager["Desk"]]
Follow = Callable[[], None]


@dataclass(frozen=True, slots=True, eq=False)
class Errand:
    """One thing to write, and what follows in the screens' own thread."""

    words: str
    """What it is, should it not be written: `Skip: 5 tor 1893 V`."""
    job: Callable[[Desk], Any]
    done: Callable[[Any], None]
    """It is on the disk."""
    failed: Callable[[Exception], None]
    """It was refused; nothing was written."""
    long: bool = False
    """It takes longer than a key may: never in the screens' own thread."""

    def carry_out(self, desk: Desk) -> Follow:
        """Do it; what follows. Raises what the job raises."""
        found = self.job(desk)
        return lambda: self.done(found)

    def refuse(self, error: Exception) -> Follow:
        """What follows when it was not done."""
        return lambda: self.failed(error)

    def lost(self, why: str) -> str:
        """The sentence for one that could not be written before the end."""
        return f"Not written: {self.words} ({why.rstrip('.')})."


class Pen:
    """The right of this program to write, one holder at a time."""

    def __init__(
        self,
        opening: Opening,
        at_present: Callable[[Desk], Desk],
        post: Callable[[Follow], None] = lambda follow: follow(),
    ) -> None:
        self._opening, self._at_present, self._post = opening, at_present, post
        """How to open the shelf, a desk at the present moment, and how to do something in the screens' own thread."""
        self._turn = threading.Lock()
        self._held: tuple[int, Desk] | None = None
        self._waiting: deque[Errand] = deque()
        self._serving = False
        self._came = threading.Semaphore(0)
        self._writer: threading.Thread | None = None
        self._lost: list[str] | None = None

    @property
    def waiting(self) -> int:
        """How many errands wait; one that is being written does not."""
        return len(self._waiting) - self._serving

    def write(self, errand: Errand) -> bool:
        """Write it now, or let it wait its turn: False. Never blocks; called from the screens' own thread only."""
        follow = None
        if not errand.long and not self._waiting and self._turn.acquire(blocking=False):
            try:
                with self._opening(0.0) as desk:
                    follow = errand.carry_out(desk)
            except ShelfLocked:
                follow = None  # another process writes: it may be done in a moment
            except Exception as error:
                follow = errand.refuse(error)
            finally:
                self._turn.release()
        if follow is None:
            self._queue(errand)
            return False
        follow()
        return True

    def _queue(self, errand: Errand) -> None:
        self._waiting.append(errand)
        self._came.release()
        if self._writer is None:
            self._writer = threading.Thread(target=self._write_waiting, name="writer", daemon=True)
            self._writer.start()

    def _write_waiting(self) -> None:
        while self._came.acquire():
            with self._turn:
                self._open_and_serve(WAIT)

    def _open_and_serve(self, wait: float) -> None:
        if not self._waiting:
            return
        try:
            with self._opening(wait) as desk:
                self._serve(desk)
        except Exception as error:  # the shelf could not be opened: all that waits is given back
            while self._waiting:
                self._over(self._waiting[0].refuse(error), error)

    @contextmanager
    def hold(self, wait: float = LONG_WAIT) -> Iterator[Desk]:
        """A desk to write with for long work, which gives way between its steps. Raises ShelfLocked."""
        with self._turn, self._opening(wait) as desk:
            self._held = threading.get_ident(), desk
            try:
                self.give_way()
                yield desk
                self.give_way()
            finally:
                self._held = None

    def give_way(self) -> None:
        """Write what waits, if this thread holds the pen and is not within a transaction of its own, which may still
        be taken back with all that is in it."""
        held = self._held
        if not self._waiting or held is None or held[0] != threading.get_ident():
            return
        if not held[1].shelf.store.is_within():
            self._serve(held[1])

    def _serve(self, desk: Desk) -> None:
        """Write what waits, in order, on this shelf, at the present moment."""
        while self._waiting:
            errand, fault, self._serving = self._waiting[0], None, True
            try:
                follow = errand.carry_out(self._at_present(desk))
            except Exception as error:
                follow, fault = errand.refuse(error), error
            self._over(follow, fault)

    def _over(self, follow: Follow, error: Exception | None = None) -> None:
        """The first errand waits no more."""
        errand, self._serving = self._waiting.popleft(), False
        if self._lost is None:
            self._post(follow)
        elif error is not None:
            self._lost.append(errand.lost(str(error)))

    def close(self) -> None:
        """The screens close: nobody can be asked or told from now on; what is refused is kept for `flush`."""
        self._lost = []

    def flush(self, seconds: float) -> list[str]:
        """Write what still waits before the program ends, within so many seconds; what was not written, by name."""
        lost = self._lost = self._lost or []
        if self._waiting and self._turn.acquire(timeout=seconds):
            try:
                self._open_and_serve(seconds)
            finally:
                self._turn.release()
        return [*lost, *(errand.lost("the shelf was not free in time") for errand in self._waiting)]
