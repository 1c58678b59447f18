"""A TinyDB storage that no stop, full disk or second thought can tear.

Each write puts a whole new file in the place of the old one. The file before the last write, and before each day's
first write, is copied beside it; the newest days are kept. A file that cannot be read is never written over.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import date
from pathlib import Path
from typing import Any

from tinydb.storages import Storage

from watchlist.shelf.disk import Disk, RealDisk, put_file
from watchlist.shelf.errors import ShelfReading, ShelfRefused, ShelfTorn

Tables = dict[str, dict[str, Any]]
COPIES_KEPT = 14


class SafeStorage(Storage):
    """The whole of notebook.json in memory, and its safe way to the disk."""

    def __init__(
        self, path: Path, *, write: bool, today: Callable[[], date] = date.today, disk: Disk | None = None
    ) -> None:
        self.path = path
        self.copies = path.parent / "copies"
        self._previous = self.copies / f"{path.stem}-previous{path.suffix}"
        self.notices: list[str] = []
        """Sentences about a torn file and the copy that was opened in its place."""
        self._write = write
        self._today = today
        self._disk = disk or RealDisk()
        self._state: Tables | None = None
        self._stamp: tuple[int, int, int] | None = None
        self._bytes = b""
        self._held = False

    def read(self) -> Tables | None:
        """The tables as they are on the disk now; None when there is no file yet. ShelfTorn when nothing is whole."""
        if self._held:
            return self._state
        stamp = _stamp(self.path)
        if stamp is None:
            self._state = None
        elif stamp != self._stamp or self._state is None:
            self._load()
        self._stamp = stamp  # as it was before reading: a replacement meanwhile is seen the next time
        return self._state

    def write(self, data: Tables) -> None:
        """Keep the tables. When this returns they are on the disk; when it raises the old ones still are."""
        if not self._write:
            raise ShelfReading("The shelf is open for reading only. Nothing was changed.")
        self._state = data
        if not self._held:
            self._flush()

    @contextmanager
    def together(self) -> Iterator[None]:
        """Gather all writes inside into one. When the block or the disk fails none of them happened."""
        if self._held:
            yield
            return
        self.read()
        before, self._held = self._state, True
        try:
            yield
            if self._state is not before or before is not None:
                self._flush()
        except BaseException:
            self._state = self._stamp = None  # TinyDB changes tables in place: only the disk knows the truth now
            raise
        finally:
            self._held = False

    def _flush(self) -> None:
        data = lay_out(self._state or {})
        try:
            if data != self._bytes:
                self._keep_copies()
                put_file(self._disk, self.path, data)
        except OSError as error:
            self._state = self._stamp = None
            raise ShelfRefused(
                f"{self.path.name} could not be written ({error.strerror or error}). "
                "What was there stays; make room and do this step again."
            ) from error
        self._bytes, self._stamp = data, _stamp(self.path)

    def _keep_copies(self) -> None:
        copy = self.copies / f"{self.path.stem}-{self._today():%Y-%m-%d}{self.path.suffix}"
        if not self._bytes:
            return
        self.copies.mkdir(exist_ok=True)
        put_file(self._disk, self._previous, self._bytes)
        if copy.exists():
            return
        put_file(self._disk, copy, self._bytes)
        for old in self.daily_copies()[COPIES_KEPT:]:
            old.unlink(missing_ok=True)

    def daily_copies(self) -> list[Path]:
        """The copies made before each day's first write, newest first."""
        pattern = f"{self.path.stem}-[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]{self.path.suffix}"
        return sorted(self.copies.glob(pattern), reverse=True)

    def _load(self) -> None:
        raw = self.path.read_bytes()
        try:
            self._state, self._bytes = parse(raw), raw
        except ValueError as error:
            self._open_a_copy(raw, str(error))

    def _open_a_copy(self, torn: bytes, why: str) -> None:
        for copy in (self._previous, *self.daily_copies()):
            try:
                raw = copy.read_bytes()
                self._state = parse(raw)
            except (OSError, ValueError):
                continue
            self._bytes = raw
            self._tell(copy, self._set_aside(torn, raw) if self._write else None, why)
            return
        raise ShelfTorn(
            f"{self.path} cannot be read ({why}) and has no earlier copy. Nothing was changed. "
            "Mend it by hand, or bring a backup back with `watchlist restore FILE`."
        )

    def _set_aside(self, torn: bytes, good: bytes) -> Path:
        kept = free_name(self.path.with_name(f"{self.path.stem}.torn-{self._today():%Y-%m-%d}{self.path.suffix}"))
        try:
            put_file(self._disk, kept, torn)
            put_file(self._disk, self.path, good)
        except OSError as error:
            raise ShelfRefused(
                f"{self.path} is torn and could not be set aside ({error.strerror or error}). Nothing was changed."
            ) from error
        return kept

    def _tell(self, copy: Path, kept: Path | None, why: str) -> None:
        where = f"the torn file is kept as {kept.name}" if kept else "the torn file was left as it is"
        notice = f"{self.path.name} could not be read ({why}). The copy copies/{copy.name} was opened; {where}."
        if notice not in self.notices:
            self.notices.append(notice)


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
    return data


def _is_table(table: Any) -> bool:
    return isinstance(table, dict) and all(
        key.isascii() and key.isdigit() and isinstance(row, dict) for key, row in table.items()
    )


def lay_out(tables: Tables) -> bytes:
    """The notebook as text to be read by people: one row a line. A lone surrogate becomes its JSON escape."""
    parts = []
    for name, rows in tables.items():
        lines = ",\n".join(f"  {json.dumps(str(i))}: {json.dumps(row, ensure_ascii=False)}" for i, row in rows.items())
        parts.append(f"{json.dumps(name)}: {{\n{lines}\n}}" if rows else f"{json.dumps(name)}: {{}}")
    return ("{\n" + ",\n".join(parts) + "\n}\n").encode("utf-8", "backslashreplace")


def free_name(path: Path) -> Path:
    """This path, or with -2, -3 ... when it is taken."""
    number, name = 2, path
    while name.exists():
        name = path.with_name(f"{path.stem}-{number}{path.suffix}")
        number += 1
    return name


def _stamp(path: Path) -> tuple[int, int, int] | None:
    try:
        stat = path.stat()
    except FileNotFoundError:
        return None
    return stat.st_mtime_ns, stat.st_size, stat.st_ino
