"""The notebook: wants, venues, sources and corrections, small and readable, in notebook.json."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager
from datetime import date
from pathlib import Path
from typing import Any, Generic, TypeVar

from tinydb import TinyDB

from watchlist.core.fees.terms import Terms
from watchlist.core.lots.source import Source
from watchlist.core.marks.record import Want
from watchlist.shelf.disk import Disk
from watchlist.shelf.errors import RecordError, ShelfNewer, ShelfTorn
from watchlist.shelf.records import from_data, to_data
from watchlist.shelf.safe_storage import SafeStorage, Tables, free_name

T = TypeVar("T")
Step = Callable[[Tables], Tables]
STEPS: tuple[Step, ...] = ()
"""Step n takes the tables from schema n to n + 1. The schema of this program is one more than their number."""


class Drawer(Generic[T]):
    """One table of the notebook: records with an id of their own, in the order in which they were first put."""

    def __init__(self, db: TinyDB, storage: SafeStorage, name: str, kind: type[T], id_field: str) -> None:
        self._db, self._storage = db, storage
        self._name, self._kind, self._id = name, kind, id_field
        self.notices: list[str] = []
        """Rows that could not be read; they stay in the file as they are."""

    def list(self) -> Sequence[T]:
        """All records that can be read; the others are named in `notices`."""
        self.notices.clear()
        return [record for row in self._rows() if (record := self._record(row)) is not None]

    def get(self, id: str) -> T | None:
        """The record with this id."""
        rows = (row for row in self._rows() if row.get(self._id) == id)
        return next(map(self._record, rows), None)

    def put(self, *records: T) -> None:
        """Add the records, or put them in the place of those with the same id; all in one write."""
        new = {row[self._id]: row for row in map(self._row, records)}
        with self._storage.together():
            rows = self._rows()
            known = {row.get(self._id) for row in rows}
            kept = [new[id] if (id := row.get(self._id)) in new else row for row in rows]
            self._replace(kept + [row for id, row in new.items() if id not in known])

    def drop(self, *ids: str) -> int:
        """Take the records with these ids out, in one write; how many there were."""
        with self._storage.together():
            rows = self._rows()
            kept = [row for row in rows if row.get(self._id) not in ids]
            if len(kept) < len(rows):
                self._replace(kept)
        return len(rows) - len(kept)

    def ids(self) -> frozenset[str]:
        """The ids of all rows, also of those that cannot be read."""
        return frozenset(str(row.get(self._id, "")) for row in self._rows())

    def free_id(self, letter: str) -> str:
        """An id that no record has: the letter and the next number."""
        numbers = (str(row.get(self._id, "")).removeprefix(letter) for row in self._rows())
        return f"{letter}{max((int(n) for n in numbers if n.isascii() and n.isdigit()), default=0) + 1}"

    def _rows(self) -> Sequence[dict[str, Any]]:
        return [dict(row) for row in self._db.table(self._name)]

    def _replace(self, rows: Sequence[dict[str, Any]]) -> None:
        table = self._db.table(self._name)
        table.truncate()
        table.insert_multiple(rows)

    def _row(self, record: T) -> dict[str, Any]:
        return dict(record) if self._kind is dict else to_data(record)  # type: ignore[call-overload]

    def _record(self, row: dict[str, Any]) -> T | None:
        try:
            return row if self._kind is dict else from_data(self._kind, row)  # type: ignore[return-value]
        except RecordError as error:
            where = f"{self._storage.path.name}, {self._name}, {row.get(self._id, '?')}"
            self.notices.append(f"{where}: {error} It was passed over and stays in the file.")
            return None


class Notebook:
    """notebook.json, opened. Writing needs the writer lock, which the shelf holds."""

    def __init__(
        self,
        path: Path,
        *,
        write: bool,
        today: Callable[[], date] = date.today,
        disk: Disk | None = None,
        steps: Sequence[Step] = STEPS,
    ) -> None:
        self._storage = SafeStorage(path, write=write, today=today, disk=disk)
        self._db = TinyDB(storage=lambda: self._storage)
        self._write, self._steps = write, steps
        self._check_schema()
        self.wants: Drawer[Want] = self.drawer("wants", Want, "id")
        self.venues: Drawer[Terms] = self.drawer("venues", Terms, "venue")
        self.sources: Drawer[Source] = self.drawer("sources", Source, "name")
        self.corrections: Drawer[dict[str, Any]] = self.drawer("corrections", dict, "id")

    @property
    def notices(self) -> list[str]:
        """Sentences about what was torn, and about every row that cannot be read."""
        drawers: list[Drawer[Any]] = [self.wants, self.venues, self.sources, self.corrections]
        for drawer in drawers:
            drawer.list()
        return self._storage.notices + [line for drawer in drawers for line in drawer.notices]

    def drawer(self, name: str, kind: type[T], id_field: str) -> Drawer[T]:
        """A table of records of this kind."""
        return Drawer(self._db, self._storage, name, kind, id_field)

    @contextmanager
    def together(self) -> Iterator[None]:
        """All puts and drops inside reach the disk in one write, or none does."""
        with self._storage.together():
            yield

    def close(self) -> None:
        """Let go of the file."""
        self._db.close()

    def _check_schema(self) -> None:
        tables, ours = self._storage.read(), len(self._steps) + 1
        name = self._storage.path.name
        if tables is None:
            if self._write:
                self._storage.write(_stamped({}, ours))
            return
        theirs = schema_of(tables)
        if theirs is None:
            raise ShelfTorn(f"{self._storage.path} does not say its schema. Nothing was changed.")
        if theirs > ours and self._write:
            raise ShelfNewer(f"{name} has schema {theirs}, this program knows {ours}. It can be read, not written.")
        if theirs > ours:
            self._storage.notices.append(f"{name} has schema {theirs}, this program knows {ours}: reading only.")
        elif theirs < ours and self._write:
            self._migrate(theirs)

    def _migrate(self, theirs: int) -> None:
        path = self._storage.path
        self._storage.copies.mkdir(exist_ok=True)
        before = free_name(self._storage.copies / f"{path.stem}-schema-{theirs}{path.suffix}")
        before.write_bytes(path.read_bytes())
        tables = self._storage.read() or {}
        for step in self._steps[theirs - 1 :]:
            tables = step(tables)
        self._storage.write(_stamped(tables, len(self._steps) + 1))
        self._storage.notices.append(f"{path.name} was brought to a new schema; the old one is copies/{before.name}.")


def schema_of(tables: Tables) -> int | None:
    """The schema version that a notebook says it has."""
    rows: Iterable[Any] = tables.get("notebook", {}).values()
    found = next((row.get("schema") for row in rows), None)
    return found if isinstance(found, int) and found > 0 else None


def _stamped(tables: Tables, schema: int) -> Tables:
    return {"notebook": {"1": {"schema": schema}}} | {k: v for k, v in tables.items() if k != "notebook"}
