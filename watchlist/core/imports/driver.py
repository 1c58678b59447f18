"""The one road from the rows of a file to records, whatever their kind. Single rows never raise."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Mapping
from typing import Any, TypeVar

from watchlist.core.fees.ladders import TermsError
from watchlist.core.imports.context import Context
from watchlist.core.imports.kind import File, Kind
from watchlist.core.imports.nearest import headings_of, nearest
from watchlist.core.imports.record import CellError, Imported, ImportRefused, Row, SetAside, Table
from watchlist.core.typed.words import TypedError

Record = TypeVar("Record")

ROW_ERRORS = (CellError, TermsError, TypedError)
"""What a row that cannot be taken raises."""


def take(kind: Kind[Record], table: Table, context: Context) -> Imported[Record]:
    """Every row a record or set aside, with what was assumed and the issues that the rows imply.

    Raises ImportRefused for a file that lacks a column it cannot do without, and when the import is stopped."""
    check_needed(kind, table, context.file, context.words["columns"])
    if kind.refuse and table.rows:
        kind.refuse(table, context)
    file = kind.file(table, context)
    records, aside = _rows(kind, file)
    for sentence, lines in file.left_open.items():
        more = f" ({len(lines) - 1:,} more lines say so)" if len(lines) > 1 else ""
        context.note(f"line {lines[0]}: {sentence}{more}")
    implied = file.finder.all_implied()
    return Imported(records, tuple(sorted(aside, key=lambda one: one.line)), tuple(context.notes), implied)


def _rows(kind: Kind[Record], file: File) -> tuple[tuple[Record, ...], list[SetAside]]:
    """The records in the order of their rows, and what was set aside; of rows that are one the last stands."""
    read, found = kind.open(file), dict[Hashable, tuple[int, Record]]()
    aside = list(file.table.set_aside)
    for number, row in enumerate(file.context.over(file.table.rows)):
        record = _taken(read, row, aside)
        if record is None:
            continue
        key = kind.same(record) if kind.same else number
        if before := found.pop(key, None):  # popped, so that the later row takes the later place
            if kind.again:
                aside.append(SetAside(before[0], f"{kind.again(record)} stands again at line {row.line}, which counts"))
            else:
                file.context.note(kind.again_note)
        found[key] = (row.line, record)
    return tuple(record for _, record in found.values()), aside


def _taken(read: Callable[[Row], Record], row: Row, aside: list[SetAside]) -> Record | None:
    try:
        return read(row)
    except ROW_ERRORS as error:
        why = error.clause if isinstance(error, TypedError) else str(error).rstrip(".")
        aside.append(SetAside(row.line, f"{why}; the row is set aside"))
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
