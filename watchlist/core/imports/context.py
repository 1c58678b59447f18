"""What an import stands on: the readers, the catalogue, the home currency, and the order and marks of one file."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal
from typing import Any, Protocol, TypeVar, cast

from watchlist.core.coins.catalogue import Catalogue
from watchlist.core.coins.varietywords import VarietyWords
from watchlist.core.imports.record import CellError, ImportRefused, Row, Rows
from watchlist.core.imports.spelling import Joins, Likeness
from watchlist.core.marks.record import Want
from watchlist.core.money.amount import Money, Rates
from watchlist.core.reading.record import Reading

Value = TypeVar("Value")

NO_CATALOGUE = Catalogue((), VarietyWords())
STEP = 2_000
"""Rows between two words on how far it is."""


class TitleReader(Protocol):
    """The part of the title reader that imports use."""

    def read(self, title: str, description: str = "", fields: Mapping[str, str] = ..., /) -> Reading:
        """What a title says."""

    def canonical_denomination(self, text: str, country: str = "", /) -> str:
        """A denomination in plain lower-case words: `5 tor`."""


@dataclass(frozen=True, slots=True)
class LotMeant:
    """The lot that a row of results means, with what its result is held against."""

    key: str
    currency: str
    """Of its sale."""
    stood: Money | None = None
    """The last bid its source told: a hammer price is no lower."""
    bid: Money | None = None
    """One's own bid that the venue has."""
    won: Money | None = None
    """The price at which it is won by one's own word."""


def no_lots(_row: Row, _day: date | None) -> LotMeant:
    """Where an import knows no lots. Raises CellError."""
    raise CellError("no lots are known")


_UNREAD = object()


@dataclass(slots=True)
class Context:
    """One import of one file; make a new one for the next. Cells that repeat are read once."""

    reader: TitleReader
    words: Mapping[str, Any]
    """All word tables by name: columns, money, times, grades and traits are used."""
    home: str
    today: date
    catalogue: Catalogue = field(default_factory=lambda: NO_CATALOGUE)
    currency: str = ""
    """Currency of amounts that name none; empty: the home currency, and a note says so."""
    decimal_mark: str = ""
    """Empty: learnt from the file."""
    date_order: str = ""
    """`dmy` or `mdy`; empty: learnt from the file."""
    rates: Rates | None = None
    file: str = ""
    """Name of the file, for the origin of a record."""
    wants: Mapping[str, Want] = field(default_factory=dict)
    """The want-list as it is, by id: what a file does not say stays as the person has it."""
    venues: Mapping[str, str] = field(default_factory=dict)
    """The currency of each venue that has terms."""
    taken_ids: frozenset[str] = frozenset()
    """Ids of wants that the notebook holds already; a new want without an id gets another."""
    joins: Joins = field(default_factory=dict)
    """Spellings that the person has joined to names of the catalogue."""
    as_written: bool = False
    """Names that are nearly the catalogue's are names of their own all the same."""
    likenesses: dict[Likeness, int] = field(default_factory=dict)
    """Names that are nearly the catalogue's, each with the number of its rows."""
    keys: Mapping[str, str] = field(default_factory=dict)
    """Keys that an issue had before, each with the one that it has now."""
    lot_meant: Callable[[Row, date | None], LotMeant] = no_lots
    """The lot that a row names by its number, venue and day; raises CellError."""
    step: Callable[[str, float], bool] | None = None
    """Told what is being done and the share done; when it answers False the import stops and nothing is taken."""
    seen: dict[tuple[str, str], Any] = field(default_factory=dict)
    """What cells were read as, by kind of cell and text."""
    notes: dict[str, None] = field(default_factory=dict)

    def note(self, sentence: str) -> None:
        """Something assumed; each sentence once."""
        self.notes.setdefault(sentence)

    def ask(self, like: Likeness | None) -> None:
        """Raises CellError where a name is nearly one of the catalogue's: the person is asked which is meant."""
        if like is not None and not self.as_written:
            self.likenesses[like] = self.likenesses.get(like, 0) + 1
            raise CellError(str(like))

    def over(self, rows: Rows) -> Iterator[Row]:
        """The rows one after the other, with a word on how far it is. Raises ImportRefused when it is to stop."""
        for number, row in enumerate(rows):
            if self.step and number % STEP == 0 and not self.step("reading rows", number / len(rows)):
                raise ImportRefused(f"Stopped at line {row.line:,}; nothing was taken.")
            yield row

    def once(self, kind: str, text: str, read: Callable[[str], Value]) -> Value:
        """What `read` makes of a text, or the CellError that it raises, remembered."""
        key = (kind, text)
        found = self.seen.get(key, _UNREAD)
        if found is _UNREAD:
            try:
                found = read(text)
            except CellError as error:
                found = error
            self.seen[key] = found
        if isinstance(found, CellError):
            raise CellError(str(found))
        return cast("Value", found)


def decimal(text: str) -> Decimal:
    """A plain number with a decimal point or comma; the caller knows that it is one."""
    return Decimal(text.replace(",", "."))
