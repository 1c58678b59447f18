"""The screens' way to the shelf: read all the time, written to only while something is being written."""

from __future__ import annotations

import time
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING

from watchlist.core.decisions.review import Ledger
from watchlist.shelf.folder import STORE
from watchlist.shelf.shelf import Shelf
from watchlist.shelf.store import Store

if TYPE_CHECKING:
    from watchlist.desk.desk import Desk


class ShelfAccess:
    """One shelf for as long as the screens are open."""

    def __init__(self, path: Path, now: datetime, settings: Path | None = None, encoding: str = "ascii") -> None:
        self.path, self._settings, self._encoding = path, settings, encoding
        self._start, self._since = now, time.monotonic()
        self.shelf = self._open(write=False)
        self._ledger = Ledger()
        """Decisions as far as they were read by those who held the pen."""
        self._desk: Desk | None = None

    @property
    def now(self) -> datetime:
        """The clock: it starts where it was set and runs on."""
        return self._start + timedelta(seconds=time.monotonic() - self._since)

    @property
    def desk(self) -> Desk:
        """The desk, to read from."""
        if self._desk is None:
            self._desk = self.desk_on(self.shelf)
        self._desk.now = self.now
        return self._desk

    def desk_on(self, shelf: Shelf) -> Desk:
        """A desk on this shelf at the present moment."""
        from watchlist.desk.desk import Desk  # the reader and all it knows: the first text does without

        return Desk(shelf, self.now, self._encoding)

    def _open(self, *, write: bool, wait: float = 0.0) -> Shelf:
        start = self._start
        return Shelf.open(self.path, write=write, wait=wait, settings=self._settings, today=lambda: start.date())

    @contextmanager
    def writing(self, wait: float) -> Iterator[Desk]:
        """A desk to write with. Raises ShelfLocked when another one writes for longer than `wait` seconds."""
        with self._open(write=True, wait=wait) as shelf:
            shelf.store.decisions.ledger = self._ledger
            yield self.desk_on(shelf)

    @contextmanager
    def reading(self) -> Iterator[Desk]:
        """A desk of its own for a thread that only reads."""
        with self._open(write=False) as shelf:
            yield self.desk_on(shelf)

    @contextmanager
    def store(self) -> Iterator[Store]:
        """The store on a connection of its own, for a thread that only counts."""
        store = Store(self.path / STORE, write=False)
        try:
            yield store
        finally:
            store.close()

    def read_on(self) -> tuple[Ledger, Ledger]:
        """All decisions, read in a thread of its own before anyone waits for them: twice, for two who may both add."""
        with self.store() as store:
            known = store.decisions.all()
        ledgers = Ledger(), Ledger()
        for ledger in ledgers:
            ledger.add(known)
            ledger.review()
        return ledgers

    def take(self, ledgers: tuple[Ledger, Ledger]) -> None:
        """Use what was read; in the screens' own thread."""
        self.shelf.store.decisions.ledger, self._ledger = ledgers

    def forget(self) -> None:
        """What was made of the shelf is made anew when it is next needed: it has changed."""
        if self._desk is not None:
            self._desk.forget()

    def version(self) -> int:
        """A number that changes when another process or thread has written to the store."""
        return self.shelf.store.db.number("PRAGMA data_version")

    def close(self) -> None:
        """Let go of the shelf."""
        self.shelf.close()
