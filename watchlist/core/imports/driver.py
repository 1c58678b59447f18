"""The one road from the rows of a file to records, whatever their kind. Single rows never raise."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterable, Iterator, Mapping
from operator import itemgetter
from typing import Any, Generic, TypeVar

from watchlist.core.fees.ladders import TermsError
from watchlist.core.imports.context import Context
from watchlist.core.imports.kind import Kind
from watchlist.core.imports.nearest import headings_of, nearest
from watchlist.core.imports.record import CellError, Imported, ImportRefused, Row, SetAside, Table
from watchlist.core.typed.words import TypedError

Record = TypeVar("Record")

ROW_ERRORS = (CellError, TermsError, TypedError)
"""What a row that cannot be taken raises."""


class Taking(Generic[Record]):
    """One file on its way to records, which come one after the other; what was set aside, noted and implied is known
    when the last has come.

    Raises ImportRefused for a file that lacks a column it cannot do without, and when the import is stopped."""

    def __init__(self, kind: Kind[Record], table: Table, context: Context) -> None:
        table = kind.shape(table, context) if kind.shape else table
        check_needed(kind, table, context.file, context.words["columns"])
        if kind.refuse and table.rows:
            kind.refuse(table, context)
        self._kind, self._context = kind, context
        self._file = kind.file(table, context)
        self._aside = list(table.set_aside)
        self.unknown = table.unknown
        """Headings that mean nothing here."""
        self.taken = 0
        """Records that have come so far."""

    def records(self) -> Iterator[Record]:
        """The records in the order of their rows; of rows that are one the last stands."""
        read = self._kind.open(self._file)
        for record in self._last_of_each(read) if self._kind.same else map(itemgetter(1), self._each(read)):
            self.taken += 1
            yield record

    def _each(self, read: Callable[[Row], Record]) -> Iterator[tuple[int, Record]]:
        for row in self._context.over(self._file.table.rows):
            record = _taken(read, row, self._aside)
            if record is not None:
                yield row.line, record

    def _last_of_each(self, read: Callable[[Row], Record]) -> list[Record]:
        found, kind = dict[Hashable, tuple[int, Record]](), self._kind
        assert kind.same
        for line, record in self._each(read):
            key = kind.same(record)
            if before := found.pop(key, None):  # popped, so that the later row takes the later place
                if kind.again:
                    why = f"{kind.again(record)} is a duplicate: line {line} is used"
                    self._aside.append(SetAside(before[0], why))
                else:
                    self._context.note(kind.again_note)
            found[key] = (line, record)
        return [record for _, record in found.values()]

    def imported(self, records: Iterable[Record] = ()) -> Imported[Record]:
        """What was made of the file, when the last record has come."""
        for sentence, lines in self._file.left_open.items():
            more = f" ({len(lines) - 1:,} more lines say so)" if len(lines) > 1 else ""
            self._context.note(f"line {lines[0]}: {sentence}{more}")
        self._file.left_open.clear()
        implied = self._file.finder.all_implied()
        aside = tuple(sorted(self._aside, key=lambda one: one.line))
        return Imported(tuple(records), aside, tuple(self._context.notes), implied)


def take(kind: Kind[Record], table: Table, context: Context) -> Imported[Record]:
    """Every row a record or set aside, with what was assumed and the issues that the rows imply. Raises as Taking."""
    taking = Taking(kind, table, context)
    return taking.imported(list(taking.records()))


def _taken(read: Callable[[Row], Record], row: Row, aside: list[SetAside]) -> Record | None:
    try:
        return read(row)
    except ROW_ERRORS as error:
        why = error.clause if isinstance(error, TypedError) else str(error).rstrip(".")
        aside.append(SetAside(row.line, f"{why}; row rejected"))
        return None


def check_needed(kind: Kind[Record], table: Table, file: str, words: Mapping[str, Any]) -> None:
    """Raises ImportRefused, with what is missing, the headings that are there and the nearest of them, when the file
    lacks a column it cannot do without. `words` is the table `columns`."""
    missing = [choice for choice in kind.needed if not any(name in table.columns for name in choice)]
    if not table.rows or not missing:
        return
    named = ", ".join(dict.fromkeys(" or ".join(f"`{name}`" for name in choice) for choice in missing))
    pairs = dict.fromkeys(filter(None, (nearest(table, choice, words) for choice in missing)))
    options = " ".join(f'--column "{pair}"' if " " in pair else f"--column {pair}" for pair in pairs)
    near = (
        f" Perhaps {options} {'names it' if len(pairs) == 1 else 'name them'}."
        if options
        else " Name another file or kind, or say --column NAME=HEADING."
    )
    raise ImportRefused(
        f"{file or 'The file'} is not a valid {kind.called.removeprefix('a ')}. Missing: {named}. "
        f"Its headings are: {headings_of(table)}.{near} Nothing was taken."
    )
