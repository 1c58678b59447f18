"""Rows of a table under their canonical names, and what an import makes of them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import Generic, Protocol, TypeVar

from watchlist.core.coins.issue import Issue

Record = TypeVar("Record")


class ImportRefused(ValueError):
    """The whole file cannot be used; the message is one sentence that says why and what to do."""


class CellError(ValueError):
    """A cell that cannot be read; the message completes `the price ...`: "`abc` is not a valid amount"."""


@dataclass(frozen=True, slots=True)
class SetAside:
    """A row that was not taken, and why, in one plain sentence without the line."""

    line: int
    why: str

    def __str__(self) -> str:
        return f"line {self.line}: {self.why}"


@dataclass(frozen=True, slots=True)
class LineNote:
    """Something odd at a line (0: the whole file) that lost no row."""

    line: int
    what: str

    def __str__(self) -> str:
        return f"line {self.line}: {self.what}" if self.line else self.what


@dataclass(frozen=True, slots=True)
class Row:
    """One row. Empty cells are left out; texts are cleaned of control characters, nothing else is interpreted."""

    line: int
    """Line of the file where the row begins; the first is 1."""
    values: Mapping[str, str]
    """Canonical column name to text."""
    extra: Mapping[str, str] = field(default_factory=dict)
    """Columns that we do not know, under their own headings."""

    def get(self, column: str) -> str:
        """Text of a canonical column, or empty."""
        return self.values.get(column, "")


class Rows(Protocol):
    """Rows in their order, which may be made when they are asked for."""

    def __len__(self) -> int: ...

    def __iter__(self) -> Iterator[Row]: ...

    def __getitem__(self, at: int, /) -> Row: ...


@dataclass(frozen=True, slots=True)
class Table:
    """A file of rows read: what its headings mean, and what could not be read."""

    kind: str
    """lots, catalogue, prices, wants, guide, terms or rates."""
    headings: tuple[str, ...]
    columns: Mapping[str, str]
    """Canonical column name to the heading used for it."""
    rows: Rows
    separator: str = ","
    unknown: tuple[str, ...] = ()
    """Headings that we do not know; their cells stand in `Row.extra`."""
    troubles: tuple[LineNote, ...] = ()
    set_aside: tuple[SetAside, ...] = ()
    """Rows that have no place in the table (too many cells)."""
    by_cells: str = ""
    """The heading under which titles stand by what its cells hold, where no heading of a title is known."""


@dataclass(frozen=True, slots=True)
class Imported(Generic[Record]):
    """What an import takes: every row of the table is a record or set aside."""

    records: tuple[Record, ...]
    set_aside: tuple[SetAside, ...] = ()
    notes: tuple[str, ...] = ()
    """What was assumed or changed, in plain sentences, each once."""
    issues: tuple[Issue, ...] = ()
    """Implied issues: named by the rows, of series that no catalogue lists."""
