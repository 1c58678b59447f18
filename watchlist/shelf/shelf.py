"""The shelf: the folder where everything is stored, opened as a whole."""

from __future__ import annotations

import os
from collections.abc import Callable
from contextlib import ExitStack, closing, suppress
from dataclasses import dataclass
from datetime import date
from functools import cache
from pathlib import Path
from types import TracebackType

from watchlist.shelf import settings as settings_file
from watchlist.shelf.copies import free_name
from watchlist.shelf.errors import SettingsError, ShelfError, ShelfTorn
from watchlist.shelf.folder import BACKUPS, LOCK, NOTEBOOK, SETTINGS, STORE, keep_private, make_folder, share
from watchlist.shelf.lock import WriterLock
from watchlist.shelf.notebook import Notebook
from watchlist.shelf.notebook import steps as notebook_steps
from watchlist.shelf.private import refuse_link
from watchlist.shelf.safe_storage import SafeStorage
from watchlist.shelf.settings import Settings
from watchlist.shelf.store import Store, needs_a_writer

_FIRST_WAIT = 5.0  # seconds a reader waits for another process that is making the shelf


@dataclass(slots=True)
class Shelf:
    """An open shelf. Use it in a `with` block; writing holds the writer lock until the block ends."""

    path: Path
    write: bool
    notebook: Notebook
    store: Store
    settings: Settings
    _lock: WriterLock | None
    who: str = ""
    """Who decides here; empty where one person alone does."""

    @classmethod
    def open(
        cls,
        path: Path,
        *,
        write: bool,
        wait: float = 0.0,
        settings: Path | None = None,
        today: Callable[[], date] = date.today,
    ) -> Shelf:
        """Open the shelf in this folder, making an empty one where none is.

        `wait`: seconds to wait for another writer. `settings`: another settings file. Raises ShelfLocked, ShelfTorn,
        ShelfNewer (write only), ShelfRefused and SettingsError, each one sentence; nothing was changed then.
        """
        make_folder(path)
        if settings is not None and not settings.exists():
            raise SettingsError(f"There is no settings file {settings}. Nothing was changed; check the path.")
        read = settings_file.load(settings or path / SETTINGS)
        if read.home.shared:
            share(path)
        _refuse_half(path)
        brought: list[str] = []
        if not write and (not (path / NOTEBOOK).exists() or needs_a_writer(path / STORE)):
            brought += cls._brought(path, read, today, wait)
        opened = cls._open(path, write, read, today, wait)
        if not write and opened.notebook.older:
            opened.close()
            brought += cls._brought(path, read, today, wait)
            opened = cls._open(path, write, read, today, wait)
        opened.store.notices += brought
        if not write and opened.store.changes.pending():
            with suppress(ShelfError):  # another one writes it just now, or nobody can: what there is can be read
                cls._open(path, True, read, today, 0.0).close()
        return opened

    @classmethod
    def _brought(cls, path: Path, read: Settings, today: Callable[[], date], wait: float) -> list[str]:
        """Make or renew what a reader cannot; the sentences on new schemas."""
        with cls._open(path, True, read, today, max(wait, _FIRST_WAIT)) as writer:
            return [*writer.store.notices, *writer.notebook.brought]

    @classmethod
    def _open(cls, path: Path, write: bool, read: Settings, today: Callable[[], date], wait: float) -> Shelf:
        with ExitStack() as when_it_fails:
            for name in (STORE, NOTEBOOK):
                refuse_link(path / name)
            lock = WriterLock(path / LOCK, _who(read)) if write else None
            if lock:
                lock.take(wait)
                when_it_fails.callback(lock.free)
                _drop_unmade(path)

            @cache  # one backup for both files, before the first of them changes
            def keep() -> str:
                return _backup(path, today())

            store = when_it_fails.enter_context(closing(Store(path / STORE, write=write, keep=keep)))
            steps = notebook_steps(store.purchases.by_want)
            notebook = Notebook(path / NOTEBOOK, write=write, today=today, steps=steps, keep=keep)
            opened = cls(path, write, notebook, store, read, lock, _who(read))
            if write:
                keep_private(path, shared=read.home.shared)
                opened.finish()
            when_it_fails.pop_all()
        return opened

    @property
    def notices(self) -> list[str]:
        """Sentences the person has to read: torn files and copies opened, newer schemas, unknown settings."""
        return [*self.settings.notices, *self.notebook.notices, *self.store.notices]

    def finish(self) -> None:
        """Give the notebook what changes on the list have for it. A stop before this is mended on the next opening."""
        for waits in self.store.changes.pending():
            self.notebook.take(waits.written)
            self.store.changes.done(waits.batch)

    def close(self) -> None:
        """Let go of the store, and let the next writer in."""
        self.store.close()
        if self._lock:
            self._lock.free()

    def __enter__(self) -> Shelf:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.close()


def _backup(path: Path, day: date) -> str:
    """Keep the whole shelf, proven, before its schema changes; where in it the backup lies."""
    from watchlist.shelf.backup import backup  # only a new schema needs it: opening is what a start waits for

    return f"{BACKUPS}/{backup(path, free_name(path / BACKUPS / f'before-new-schema-{day}.zip')).name}"


def _drop_unmade(path: Path) -> None:
    """Take away an empty store that a power cut left in the first moment of a shelf: nothing was ever kept in it."""
    if not (path / NOTEBOOK).exists() and (path / STORE).exists() and (path / STORE).stat().st_size == 0:
        (path / STORE).unlink()


def _who(read: Settings) -> str:
    """The name that the settings give; on a shared shelf that of the account."""
    if read.home.who or not read.home.shared:
        return read.home.who
    from getpass import getuser  # most shelves have one writer

    try:
        return getuser()
    except (ImportError, KeyError, OSError):  # an account without a name, as a container may have
        return f"account {os.getuid()}" if hasattr(os, "getuid") else "account without a name"


def _refuse_half(path: Path) -> None:
    """A store that is gone beside a notebook that holds something is never replaced by an empty one."""
    if (path / STORE).exists() or not (path / NOTEBOOK).exists():
        return
    tables = SafeStorage(path / NOTEBOOK, write=False).read() or {}
    rows = {name: len(rows) for name, rows in tables.items() if name != "notebook" and rows}
    if rows:
        held = ", ".join(f"{number} {name}" for name, number in rows.items())
        raise ShelfTorn(
            f"{path / STORE} is missing beside a notebook that holds {held}. Nothing was changed. Bring a backup back "
            f"with `watchlist restore FILE --replace`; to begin with an empty store, move {NOTEBOOK} away, run "
            "`watchlist check`, and move it back."
        )
