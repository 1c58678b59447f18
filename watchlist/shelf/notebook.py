"""The notebook: wants, venues, sources and corrections, small and readable, in notebook.json."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable, Mapping, MutableMapping, Sequence
from contextlib import AbstractContextManager
from datetime import date
from pathlib import Path
from typing import Any, Generic, TypeVar

from tinydb import where
from tinydb.table import Document, Table

from watchlist.core.fees.terms import Terms
from watchlist.core.lots.source import Source
from watchlist.core.marks.record import Want
from watchlist.core.plan.budgets import Aside, Budget, Group, Joined
from watchlist.shelf import migration
from watchlist.shelf.disk import Disk
from watchlist.shelf.errors import RecordError, ShelfTorn
from watchlist.shelf.records import from_data, to_data
from watchlist.shelf.safe_storage import SafeStorage, Tables, Together
from watchlist.shelf.store.changes import Written

T = TypeVar("T")
Step = Callable[[Tables], None]
STEPS = 1
"""How many steps there are: they need to know what was bought, so `steps` makes them."""


def steps(bought: Callable[[], Mapping[str, int]]) -> tuple[Step, ...]:
    """Step n takes the tables from schema n to n + 1. `bought`: how many pieces were bought for each want."""
    return (lambda tables: _own_numbers(tables, bought()),)


def _own_numbers(tables: Tables, bought: Mapping[str, int]) -> None:
    """A want's `filled` becomes the person's own number: what was bought is counted from the purchases."""
    for row in tables.get("wants", {}).values():
        if pieces := bought.get(str(row.get("id")), 0):
            row["filled"] = row.get("filled", 0) - pieces


class Drawer(Generic[T]):
    """One table of the notebook: records with an id of their own, in the order in which they were first put."""

    def __init__(self, storage: Together, name: str, kind: type[T], id_field: str) -> None:
        self._storage, self._name, self._kind, self._id = storage, name, kind, id_field
        self.notices: list[str] = []
        """Rows that could not be read; they stay in the file as they are."""

    def list(self) -> Sequence[T]:
        """All records that can be read; the others are named in `notices`."""
        self.notices.clear()
        return [record for row in self._table() if (record := self._record(dict(row))) is not None]

    def get(self, id: str) -> T | None:
        """The record with this id."""
        row = self._table().get(where(self._id) == id)
        return self._record(dict(row)) if row else None

    def id_of(self, record: T) -> str:
        """The id that a record says it has."""
        return str(self._row(record)[self._id])

    def image(self, id: str) -> str | None:
        """The record with this id as text: the number of its row and the row, whether or not it can be read."""
        row = self._table().get(where(self._id) == id)
        return json.dumps([row.doc_id, dict(row)]) if isinstance(row, Document) else None

    def image_of(self, record: T) -> str:
        """A record as it is to be put, as text."""
        return json.dumps([0, self._row(record)])

    def put_image(self, id: str, image: str | None) -> None:
        """The record with this id as its image says, in the row that it has or had; None: it goes."""
        with self._storage.together():
            tables = self._storage.read() or {}
            rows: dict[str, Any] = tables.setdefault(self._name, {})
            there = next((number for number, row in rows.items() if row.get(self._id) == id), None)
            if there is not None:
                del rows[there]
            if image is not None:
                number, row = json.loads(image)
                free = str(max(map(int, rows), default=0) + 1)
                had = str(number) if number and str(number) not in rows else free
                rows[there or had] = row
                tables[self._name] = {str(each): rows[each] for each in sorted(rows, key=int)}
            self._storage.write(tables)

    def put(self, *records: T) -> None:
        """Add the records, or put them in the place of those with the same id; all in one write."""
        new = {row[self._id]: row for row in map(self._row, records)}

        def put_anew(row: MutableMapping[Any, Any]) -> None:
            known.add(row[self._id])
            record = new[row[self._id]]
            row.clear()
            row.update(record)

        known: set[Any] = set()
        with self._storage.together():
            table = self._table()
            table.update(put_anew, where(self._id).test(new.__contains__))
            table.insert_multiple(row for id, row in new.items() if id not in known)

    def drop(self, *ids: str) -> int:
        """Take the records with these ids out, in one write; how many there were."""
        with self._storage.together():
            return len(self._table().remove(where(self._id).one_of(list(ids))))

    def ids(self) -> frozenset[str]:
        """The ids of all rows, also of those that cannot be read."""
        return frozenset(str(row.get(self._id, "")) for row in self._table())

    def free_id(self, letter: str) -> str:
        """An id that no record has: the letter and the next number."""
        numbers = (id.removeprefix(letter) for id in self.ids())
        return f"{letter}{max((int(n) for n in numbers if n.isascii() and n.isdigit()), default=0) + 1}"

    def _table(self) -> Table:
        """The table as it is now: one that was used before remembers answers and a next number of its own."""
        return Table(self._storage, self._name)

    def _row(self, record: T) -> dict[str, Any]:
        return dict(record) if self._kind is dict else to_data(record)  # type: ignore[call-overload]

    def _record(self, row: dict[str, Any]) -> T | None:
        try:
            return row if self._kind is dict else from_data(self._kind, row)  # type: ignore[return-value]
        except RecordError as error:
            place = f"{self._storage.path.name}, {self._name}, {row.get(self._id, '?')}"
            self.notices.append(f"{place}: {error} It was passed over and stays in the file.")
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
        steps: Sequence[Step] = steps(dict),
        keep: migration.Keep = migration.not_kept,
    ) -> None:
        self._storage: Together = Together(SafeStorage)(path, write=write, today=today, disk=disk)
        schema = Schema(self._storage)
        self.brought = migration.fit(schema, steps, write=write, keep=keep)
        """A sentence where it was brought to a new schema, or is of a newer one."""
        self.older = not write and 0 < schema.schema() <= len(steps)
        """It is of an earlier schema, and a reader leaves it so."""
        self.wants = Drawer(self._storage, "wants", Want, "id")
        self.venues = Drawer(self._storage, "venues", Terms, "venue")
        self.sources = Drawer(self._storage, "sources", Source, "name")
        self.corrections: Drawer[dict[str, Any]] = Drawer(self._storage, "corrections", dict, "id")
        self.groups = Drawer(self._storage, "groups", Group, "id")
        self.budgets = Drawer(self._storage, "budgets", Budget, "id")
        self.asides = Drawer(self._storage, "asides", Aside, "id")
        self.joins = Drawer(self._storage, "joins", Joined, "id")
        self.places: Mapping[str, Drawer[Any]] = {
            "want": self.wants, "venue": self.venues, "source": self.sources, "correction": self.corrections,
            "group": self.groups, "budget": self.budgets, "set-aside": self.asides, "join": self.joins,
        }  # fmt: skip
        """Every kind of record in the notebook that a change may keep, by its name in the list."""

    @property
    def notices(self) -> list[str]:
        """Sentences about what was torn, and about every row that cannot be read."""
        drawers: list[Drawer[Any]] = [self.wants, self.venues, self.sources, self.corrections]
        drawers += [self.groups, self.budgets, self.asides, self.joins]
        for drawer in drawers:
            drawer.list()
        return [*self._storage.notices, *self.brought, *(line for drawer in drawers for line in drawer.notices)]

    def take(self, written: Iterable[Written]) -> None:
        """Put records there as they are to be, in one write. The same again changes nothing."""
        with self.together():
            for place, key, image in written:
                self.places[place].put_image(key, image)

    def together(self) -> AbstractContextManager[None]:
        """All puts and drops inside reach the disk in one write, or none does."""
        return self._storage.together()


class Schema:
    """The schema of a notebook, in a table of its own."""

    def __init__(self, storage: Together) -> None:
        self._storage, self.path = storage, storage.path

    def schema(self) -> int:
        """The schema that the notebook says it has; 0 without a file."""
        tables = self._storage.read()
        if tables is None:
            return 0
        found = next((row.get("schema") for row in tables.get("notebook", {}).values()), None)
        if not isinstance(found, int) or found < 1:
            raise ShelfTorn(f"{self.path} does not say its schema. Nothing was changed.")
        return found

    def make(self, schema: int) -> None:
        """Put the empty file there."""
        self._storage.write({"notebook": {"1": {"schema": schema}}})

    def climb(self, steps: Sequence[Step], schema: int) -> None:
        """Take the steps and note the schema, in one write."""
        with self._storage.together():
            tables = self._storage.read() or {}
            for step in steps:
                step(tables)
            self._storage.write(tables | {"notebook": {"1": {"schema": schema}}})
