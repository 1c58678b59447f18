"""A kind of file: the columns it must have, how one of its rows is read, which rows are one; and one file of it."""

from __future__ import annotations

from collections.abc import Callable, Hashable
from dataclasses import dataclass, field
from typing import Generic, TypeVar

from watchlist.core.imports.cells import learn_mark
from watchlist.core.imports.coin import Finder
from watchlist.core.imports.context import Context
from watchlist.core.imports.dates import learn_order
from watchlist.core.imports.record import Row, Table

Record = TypeVar("Record")

Choice = tuple[str, ...]
"""Columns of which one will do."""
COIN: tuple[Choice, ...] = (("denomination", "title", "issue"), ("year", "title", "issue"))
"""What names a coin: its cells, its title, or its key."""


@dataclass(frozen=True, slots=True)
class File:
    """What holds for all rows of one file: its readers, its decimal mark, its order of day and month."""

    context: Context
    table: Table
    finder: Finder
    mark: str | None
    order: str | None
    left_open: dict[str, list[int]] = field(default_factory=dict)
    """Cells that could not be read and cost no row: the sentence to its lines."""

    def leave_open(self, line: int, sentence: str) -> None:
        """A cell stays open; the same words are told once, with their first line."""
        self.left_open.setdefault(sentence, []).append(line)


@dataclass(frozen=True, slots=True)
class Kind(Generic[Record]):
    """One kind of rows. `open` learns from the whole file and answers with the reading of a single row, which raises
    a RowError for a row that cannot be taken."""

    called: str
    """In words, with its article: `a want-list`."""
    needed: tuple[Choice, ...]
    """A cell may be empty where a column may not be missing: the wrong file is told by its headings."""
    open: Callable[[File], Callable[[Row], Record]]
    amounts: tuple[str, ...] = ()
    """Columns that the decimal mark is learnt from."""
    dates: str = ""
    """The column that the order of day and month is learnt from."""
    shape: Callable[[Table, Context], Table] | None = None
    """Lays a table out as its rows are read, before anything else."""
    refuse: Callable[[Table, Context], None] | None = None
    """What is wrong with the file beside a missing column; raises ImportRefused."""
    same: Callable[[Record], Hashable] | None = None
    """Of rows that are one the last stands."""
    again: Callable[[Record], str] | None = None
    """What stands again, in words (`the want w1`): the row before it is set aside."""
    again_note: str = ""
    """What is noted once instead."""

    def file(self, table: Table, context: Context) -> File:
        """What is learnt from the whole file."""
        mark = learn_mark(table, self.amounts, context) if self.amounts else None
        order = learn_order((row.get(self.dates) for row in table.rows), context) if self.dates else None
        return File(context, table, Finder(table, context), mark, order)
