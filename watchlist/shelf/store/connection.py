"""The one door to SQLite: every fault of the file or the disk leaves it as one sentence."""

from __future__ import annotations

import json
import os
import sqlite3
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import closing, contextmanager, suppress
from pathlib import Path
from typing import Any, TypeVar

from watchlist.shelf.errors import ShelfError, ShelfReading, ShelfRefused, ShelfTorn

T = TypeVar("T")
Row = tuple[Any, ...]
_REFUSED = {sqlite3.SQLITE_FULL, sqlite3.SQLITE_IOERR, sqlite3.SQLITE_CANTOPEN, sqlite3.SQLITE_PERM}
_SECTOR = 512
"""Bytes of the smallest page of SQLite."""
FAULTS = (sqlite3.Error, UnicodeError, OverflowError)
"""SQLite's own, and text and figures that fit on one side only: a torn file can hold either in an error's own words."""


class Connection:
    """shelf.db, opened to write (under the writer lock) or to read (never blocking, never writing)."""

    def __init__(self, path: Path, *, write: bool) -> None:
        self.path, self.write = path, write
        self._durable = False
        if not write:
            check_there(path)
        self._db = self._open()
        try:
            for pragma in _PRAGMAS[write]:
                self.run(f"PRAGMA {pragma}")
        except BaseException:  # a torn file shows itself here: nobody else would let go of it
            self._db.close()
            raise

    def _open(self) -> sqlite3.Connection:
        mode = "rwc" if self.write else "ro"
        if not self.write and not os.access(self.path.parent, os.W_OK) and not _wal(self.path).exists():
            mode = "ro&immutable=1"  # a shelf on a disk that cannot be written to
        where = f"{self.path.resolve().as_uri()}?mode={mode}"
        return self._told(lambda: sqlite3.connect(where, uri=True, isolation_level=None, check_same_thread=False))

    def rows(self, sql: str, values: Sequence[object] = ()) -> list[Row]:
        """All rows of a query."""
        return self._told(lambda: self._db.execute(sql, values).fetchall())

    def row(self, sql: str, values: Sequence[object] = ()) -> Row | None:
        """The first row of a query, or None."""
        return next(iter(self.rows(sql, values)), None)

    def number(self, sql: str, values: Sequence[object] = ()) -> int:
        """The first cell of a query that counts."""
        return int(self.rows(sql, values)[0][0])

    def each(self, sql: str, values: Sequence[object] = ()) -> Iterator[Row]:
        """The rows of a query one after the other, for those that do not fit in memory."""
        try:
            # left half read, `yield from` would close the cursor, which fails where the file was closed before it
            for row in self._db.execute(sql, values):  # noqa: UP028
                yield row
        except FAULTS as error:
            raise self._sentence(error) from error

    def json(self, text: str) -> Any:
        """What a cell of JSON holds."""
        try:
            return json.loads(text)
        except ValueError as error:
            raise torn(self.path, f"a record is not JSON: {error}") from error

    def run(self, sql: str, values: Sequence[object] = ()) -> int:
        """One statement; the number of the row it added, if it added one."""
        return self._told(lambda: self._db.execute(sql, values).lastrowid or 0)

    def many(self, sql: str, rows: Iterable[Sequence[object]]) -> int:
        """One statement for many rows; how many rows it changed."""
        return self._told(lambda: self._db.executemany(sql, rows).rowcount)

    @contextmanager
    def writing(self, *, durable: bool = False) -> Iterator[None]:
        """One transaction: all of it or nothing. Durable: on the disk before this returns (what a person typed)."""
        if not self.write:
            raise ShelfReading("The shelf is open for reading only. Nothing was changed.")
        if self.is_within():
            if durable and not self._durable:
                raise RuntimeError("what a person typed was to be kept inside a transaction that may be lost")
            yield
            return
        self._durable = durable
        self.run(f"PRAGMA synchronous={'FULL' if durable else 'NORMAL'}")
        self.run("BEGIN IMMEDIATE")
        try:
            yield
            self.run("COMMIT")
        except BaseException:
            if self.is_within():
                self._db.rollback()
            raise

    def is_within(self) -> bool:
        """A transaction is open."""
        return self._db.in_transaction

    def copy_to(self, target: Path) -> None:
        """A whole copy of the store as it is now, also while another process writes."""
        self._told(lambda: self._copy(target))

    def _copy(self, target: Path) -> None:
        with closing(sqlite3.connect(target, isolation_level=None)) as other:
            self._db.backup(other)
            other.execute("PRAGMA journal_mode=DELETE")

    def stop(self) -> None:
        """Break off what another thread is asking of this connection; it fails there."""
        with suppress(sqlite3.ProgrammingError):  # closed meanwhile
            self._db.interrupt()

    def close(self) -> None:
        """Let go of the file."""
        self._db.close()

    def _told(self, work: Callable[[], T]) -> T:
        try:
            return work()
        except FAULTS as error:
            raise self._sentence(error) from error

    def _sentence(self, error: Exception) -> ShelfError:
        """What a fault of SQLite means for the person."""
        code = getattr(error, "sqlite_errorcode", None)
        if isinstance(error, UnicodeEncodeError | OverflowError):
            return ShelfError(f"A text or figure cannot be kept ({error}). Nothing was changed.")
        if isinstance(error, sqlite3.ProgrammingError | sqlite3.IntegrityError):
            return ShelfError(f"The store did not take this step ({error}). Nothing was changed.")
        if code is not None and code & 0xFF == sqlite3.SQLITE_READONLY:
            return ShelfReading(f"{self.path} cannot be written to ({error}). Nothing was changed.")
        if code == sqlite3.SQLITE_INTERRUPT:
            return ShelfError("A query of the store was interrupted. Nothing was changed.")
        if code is not None and code & 0xFF in _REFUSED:
            return ShelfRefused(
                f"{self.path.name} could not be written or read ({error}). "
                "What was acknowledged before stays; make room and do this step again."
            )
        if code is not None and code & 0xFF in (sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED):
            return ShelfRefused(f"{self.path.name} is held by another program. Nothing was changed; try again.")
        return torn(self.path, str(error))


_PRAGMAS: dict[bool, tuple[str, ...]] = {
    True: (
        "journal_mode=WAL",  # readers go on while one writes
        "synchronous=NORMAL",  # what a feed tells may be lost with the power, and comes again
        "fullfsync=1",  # on macOS a plain fsync ends in the cache of the drive
        "cache_size=-65536",  # KiB: the indexes of a million lots
        "temp_store=MEMORY",
        "recursive_triggers=0",
        "mmap_size=0",  # a file cut short under a mapping ends the process
        "secure_delete=FAST",  # what a person took out is not to be found in the file, where that costs no write
    ),
    # SQLite up to 3.51.2 may lose pages when two connections carry the log over at once: only the writer does
    False: ("query_only=1", "wal_autocheckpoint=0", "cache_size=-65536", "temp_store=MEMORY", "mmap_size=0"),
}


def plain(text: str) -> str:
    """The text without lone surrogates, which SQLite does not take."""
    return text if text.isascii() else text.encode("utf-8", "replace").decode("utf-8")


def torn(path: Path, why: str) -> ShelfTorn:
    """The sentence for a store that is damaged, with the newest backup where there is one."""
    backups = sorted((path.parent / "backups").glob("*.zip"), key=lambda file: file.stat().st_mtime)
    offer = backups[-1] if backups else "FILE"
    return ShelfTorn(
        f"{path} is damaged ({why}). It was left as it is; bring a backup back with `watchlist restore {offer}`."
    )


def check_there(path: Path) -> None:
    """ShelfTorn when the file is there and its size alone says that it is no whole store; SQLite says the rest.

    Nothing but SQLite ever opens the file: closing it would drop the locks that all connections of this process hold
    on it, and another process would then take the log away from under them."""
    if path.is_dir():
        raise torn(path, "it is a folder")
    if not path.exists() or _size(_wal(path)) > 0:
        return  # the last checkpoint may have been cut off: SQLite mends that from its log
    size = path.stat().st_size
    if size == 0 or size % _SECTOR:
        raise torn(path, "it is not a store, or its end is missing" if size else "it is empty")


def _wal(path: Path) -> Path:
    return path.with_name(path.name + "-wal")


def _size(path: Path) -> int:
    try:
        return path.stat().st_size
    except FileNotFoundError:
        return 0
