"""A TinyDB storage that no stop, full disk or second thought can tear.

Each write puts a whole new file in the place of the old one, of which a copy is kept. A file that cannot be read is
never written over.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import date
from pathlib import Path
from typing import Any

from tinydb.middlewares import Middleware
from tinydb.storages import Storage

from watchlist.shelf.copies import Copies, free_name
from watchlist.shelf.disk import Disk, RealDisk, put_file
from watchlist.shelf.errors import ShelfReading, ShelfRefused, ShelfTorn

Tables = dict[str, dict[str, Any]]


class SafeStorage(Storage):
    """The whole of notebook.json in memory, and its safe way to the disk."""

    def __init__(
        self, path: Path, *, write: bool, today: Callable[[], date] = date.today, disk: Disk | None = None
    ) -> None:
        self.path = path
        self.notices: list[str] = []
        """Sentences about a torn file and the copy that was opened in its place."""
        self._write, self._today = write, today
        self._disk = disk or RealDisk()
        self._copies = Copies(path, self._disk, today)
        self._tables: Tables | None = None
        self._stamp: tuple[int, int, int] | None = None
        self._bytes = b""

    def read(self) -> Tables | None:
        """The tables as they are on the disk now; None when there is no file yet. ShelfTorn when nothing is whole."""
        stamp = _stamp(self.path)
        if stamp is None:
            self._tables = None
        elif stamp != self._stamp or self._tables is None:
            self._tables = self._load()
        self._stamp = stamp  # as it was before reading: a replacement meanwhile is seen the next time
        return self._tables

    def write(self, data: Tables) -> None:
        """Keep the tables. When this returns they are on the disk; when it raises the old ones still are."""
        if not self._write:
            raise ShelfReading("The shelf is open for reading only. Nothing was changed.")
        raw = lay_out(data)
        try:
            if raw != self._bytes:
                if self._bytes:
                    self._copies.keep(self._bytes)
                put_file(self._disk, self.path, raw)
        except OSError as error:
            raise ShelfRefused(
                f"{self.path.name} could not be written ({error.strerror or error}). "
                "What was there stays; make room and do this step again."
            ) from error
        self._tables, self._bytes, self._stamp = data, raw, _stamp(self.path)

    def forget(self) -> None:
        """Read the file anew when it is next asked for."""
        self._tables = self._stamp = None

    def _load(self) -> Tables:
        try:
            self._bytes = self.path.read_bytes()
        except OSError as error:
            raise ShelfRefused(
                f"{self.path} cannot be read ({error.strerror or error}): it must be a file. Nothing was changed."
            ) from error
        try:
            return parse(self._bytes)
        except ValueError as error:
            return self._open_a_copy(self._bytes, str(error))

    def _open_a_copy(self, torn: bytes, why: str) -> Tables:
        for copy in self._copies.newest_first():
            try:
                self._bytes = copy.read_bytes()
                tables = parse(self._bytes)
            except (OSError, ValueError):
                continue
            self._tell(copy, self._set_aside(torn, self._bytes) if self._write else None, why)
            return tables
        raise ShelfTorn(
            f"{self.path} cannot be read ({why}) and has no earlier copy. Nothing was changed. "
            "Correct it by hand, or bring a backup back with `watchlist restore FILE`."
        )

    def _set_aside(self, torn: bytes, good: bytes) -> Path:
        kept = free_name(self.path.with_name(f"{self.path.stem}.torn-{self._today():%Y-%m-%d}{self.path.suffix}"))
        try:
            put_file(self._disk, kept, torn)
            put_file(self._disk, self.path, good)
        except OSError as error:
            raise ShelfRefused(
                f"{self.path} is damaged and could not be moved aside ({error.strerror or error}). Nothing was changed."
            ) from error
        return kept

    def _tell(self, copy: Path, kept: Path | None, why: str) -> None:
        where = f"the damaged file is kept as {kept.name}" if kept else "the damaged file was left as it is"
        notice = f"{self.path.name} could not be read ({why}). The copy copies/{copy.name} was opened; {where}."
        if notice not in self.notices:
            self.notices.append(notice)


class Together(Middleware, Storage):
    """Gathers the writes of a block into one."""

    storage: SafeStorage
    _held = _changed = False
    _tables: Tables | None = None

    def read(self) -> Tables | None:
        """The tables as they will be when the block ends; outside of a block, as they are."""
        return self._tables if self._held else self.storage.read()

    def write(self, data: Tables) -> None:
        """Keep the tables; in a block, not before its end."""
        if self._held:
            self._tables, self._changed = data, True
        else:
            self.storage.write(data)

    @contextmanager
    def together(self) -> Iterator[None]:
        """All writes inside are one. When the block or the disk fails none of them happened."""
        if self._held:
            yield
            return
        self._tables, self._held, self._changed = self.storage.read(), True, False
        try:
            yield
            if self._changed and self._tables is not None:
                self.storage.write(self._tables)
        except BaseException:
            self.storage.forget()  # TinyDB changes tables in place: only the disk knows the truth now
            raise
        finally:
            self._held = False


def parse(raw: bytes) -> Tables:
    """The tables in a notebook's bytes; ValueError with a short reason when they are none."""
    if not raw.strip(b"\0 \r\n\t"):
        raise ValueError("it is empty")
    try:
        data = json.loads(raw.decode("utf-8"))
    except json.JSONDecodeError as error:
        raise ValueError(f"line {error.lineno}: {error.msg}") from error
    except (UnicodeDecodeError, RecursionError) as error:
        raise ValueError("it is not text in UTF-8" if isinstance(error, UnicodeDecodeError) else "too deep") from error
    if not isinstance(data, dict) or not all(_is_table(table) for table in data.values()):
        raise ValueError("it holds no tables")
    return {name: _numbered(table) for name, table in data.items()}


def _is_table(table: Any) -> bool:
    return isinstance(table, dict) and all(
        key.isascii() and key.isdigit() and isinstance(row, dict) for key, row in table.items()
    )


def _numbered(table: dict[str, Any]) -> dict[str, Any]:
    """Rows numbered anew where two numbers are one to TinyDB, as `5` and `05` typed by hand: it would drop a row."""
    apart = len({int(number) for number in table}) == len(table)
    return table if apart else {str(number): row for number, row in enumerate(table.values(), 1)}


def lay_out(tables: Tables) -> bytes:
    """The notebook as text to be read by people: one row a line. A lone surrogate becomes its JSON escape."""
    parts = []
    for name, rows in tables.items():
        lines = ",\n".join(f"  {json.dumps(str(i))}: {json.dumps(row, ensure_ascii=False)}" for i, row in rows.items())
        parts.append(f"{json.dumps(name)}: {{\n{lines}\n}}" if rows else f"{json.dumps(name)}: {{}}")
    return ("{\n" + ",\n".join(parts) + "\n}\n").encode("utf-8", "backslashreplace")


def _stamp(path: Path) -> tuple[int, int, int] | None:
    try:
        stat = path.stat()
    except FileNotFoundError:
        return None
    return stat.st_mtime_ns, stat.st_size, stat.st_ino
