"""CSV lots: rows of a table, already under canonical names, as entries."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

from watchlist.core.clean import clean
from watchlist.core.imports.record import Row, Table
from watchlist.core.lots.entry import Entry, Trouble
from watchlist.core.lots.source import Source
from watchlist.feeds.links import web_link
from watchlist.feeds.listing import Item, Listing, Outcome, Unlistable, digest, nothing, stable_id
from watchlist.feeds.markup import words_of
from watchlist.feeds.own import field_of
from watchlist.feeds.table import read_table
from watchlist.words import load

OWN_PLACES = frozenset(("title", "description", "url", "lot_id"))
"""Columns that are parts of an entry, not among its fields."""
LINES = 100_000
TOO_LONG = f"only the first {LINES:,} lines were read, the rest was not (partial); split the list"
TITLE_PARTS = ("country", "denomination", "year", "mint", "variety", "grade")
"""A list without titles has at least these."""


def list_rows(source: Source, body: bytes) -> Listing:
    """The rows of a CSV body. Raises Unlistable when no column gives a title, as of a text that is no table."""
    cut = _cut(body)
    table = read_table(cut, encoding=source.encoding, columns=source.columns, synonyms=load("columns"), kind="lots")
    if not table.rows and not table.headings:
        raise Unlistable("holds no rows; nothing was taken, what is kept stands; check the address or the file")
    if not _titled(table.columns):
        raise Unlistable(_untitled(table))
    items = tuple(_item(row) for row in table.rows)
    bids = field_of(table.columns.get("price", "")) == "current_bid"
    build = _Reader(source, items, table.rows, bids).build if items else nothing
    long = len(cut) < len(body)
    told = (*((Trouble(source.name, "", TOO_LONG),) if long else ()), *_told(source, table))
    return Listing("csv", items, build, told, long, dict(table.columns), tuple(table.unknown))


def _cut(body: bytes) -> bytes:
    """The first lines of a body: a table of millions of short rows would take minutes and gigabytes."""
    mark = b"\n" if b"\n" in body else b"\r"
    if body.count(mark) <= LINES:
        return body
    at = -1
    for _ in range(LINES):
        at = body.index(mark, at + 1)
    return body[: at + 1]


def _titled(columns: Mapping[str, str]) -> bool:
    return bool({"title", "description"} & columns.keys()) or {"denomination", "year"} <= columns.keys()


def _untitled(table: Table) -> str:
    seen = ", ".join(clean(heading, 40) for heading in table.headings[:8])
    return (
        f"has no column for the title (headings seen: {seen}); nothing was taken, what is kept stands; "
        "name the column in the source's settings"
    )


def _told(source: Source, table: Table) -> tuple[Trouble, ...]:
    notes = [Trouble(source.name, f"line {note.line}" if note.line else "", note.what) for note in table.troubles]
    aside = (Trouble(source.name, f"line {row.line}", row.why) for row in table.set_aside)
    return (*aside, *notes)  # the first are told by name, and a row that is lost matters most


def _item(row: Row) -> Item:
    cells = "\0".join(f"{name}\1{text}" for part in (row.values, row.extra) for name, text in sorted(part.items()))
    title = row.get("title") or _title(row) or row.get("description")[:300]
    own = stable_id(row.get("lot_id"), title, row.get("url"))
    return Item(own, digest(cells.encode("utf-8", "replace")), f"line {row.line}")


class _Reader:
    """Reads chosen rows of one table."""

    def __init__(self, source: Source, items: Sequence[Item], rows: Sequence[Row], bids: bool) -> None:
        self.source, self.items, self.rows, self.bids = source, items, rows, bids

    def build(self, indexes: Sequence[int]) -> Iterator[tuple[int, Outcome]]:
        """Entries in order."""
        for index in indexes:
            outcome = _entry(self.source, self.items[index], self.rows[index])
            yield index, _with_bid(outcome) if self.bids and isinstance(outcome, Entry) else outcome


def _with_bid(entry: Entry) -> Entry:
    """The column of prices is headed as one of bids: they still rise."""
    fields = {"current_bid" if name == "price" else name: text for name, text in entry.fields.items()}
    return replace(entry, fields=fields)


def _title(row: Row) -> str:
    """A title made of its parts; a grade beside a description is none."""
    if not (row.get("denomination") or row.get("year")):
        return ""
    return " ".join(filter(None, (row.get(part) for part in TITLE_PARTS)))


def _entry(source: Source, item: Item, row: Row) -> Outcome:
    description = words_of(row.get("description"))
    title = clean(words_of(row.get("title"))) or clean(_title(row)) or clean(description.partition("\n")[0], 200)
    if not title:
        return "has no title and was set aside"
    fields = {name: clean(text, 1_000) for name, text in row.values.items() if name not in OWN_PLACES}
    extra = {clean(name, 100): clean(text, 1_000) for name, text in row.extra.items()}
    return Entry(source.name, item.place, item.id, title, description, web_link(row.get("url"), source), fields, extra)
