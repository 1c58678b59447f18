"""CSV lots: rows of a table, already under canonical names, as entries."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace

from watchlist.core.clean import clean
from watchlist.core.imports.record import Row, Table
from watchlist.core.lots.entry import Entry
from watchlist.core.lots.source import Source
from watchlist.core.lots.trouble import Trouble
from watchlist.feeds.failures import Unlistable
from watchlist.feeds.fields import heads_bids
from watchlist.feeds.links import web_link
from watchlist.feeds.listing import Item, Listing, Outcome, digest, one_by_one, stable_id
from watchlist.feeds.markup import words_of
from watchlist.feeds.names import date_order, language
from watchlist.feeds.table import read_table
from watchlist.words import load

OWN_PLACES = frozenset(("title", "description", "url", "lot_id"))
"""Columns that are parts of an entry, not among its fields."""
LINES = 100_000
TITLE_PARTS = ("country", "denomination", "year", "mint", "variety", "grade")
"""A list without titles has at least these."""


def list_rows(source: Source, body: bytes) -> Listing:
    """The rows of a CSV body. Raises Unlistable when no column gives a title, as of a text that is no table."""
    cut = _cut(body)
    table = read_table(cut, encoding=source.encoding, columns=source.columns, synonyms=load("columns"), kind="lots")
    if not table.rows and not table.headings:
        raise Unlistable("no rows")
    if not _titled(table.columns):
        raise Unlistable("no title column", seen=", ".join(clean(heading, 40) for heading in table.headings[:8]))
    items = [_item(row) for row in table.rows]
    long = len(cut) < len(body)
    cut_off = [Trouble("many lines", facts={"lines": LINES}, source=source.name)] if long else []
    told = (*cut_off, *_guessed(source, table), *_told(source, table))
    said = {"date_order": date_order(table.columns.get("ends_at", "")), "language": language(table.headings)}
    stated = {name: text for name, text in said.items() if text}
    meant = _as_bid if _are_bids(table) else lambda row: row
    build = one_by_one(lambda n: _entry(source, items[n], meant(table.rows[n]), stated))
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


def _guessed(source: Source, table: Table) -> Iterator[Trouble]:
    if table.by_cells:
        yield Trouble("title by cells", facts={"heading": table.by_cells}, source=source.name)


def _told(source: Source, table: Table) -> Iterator[Trouble]:
    """The troubles of lines; rows that are lost come first, for only the first ones are told by name."""
    for line, note in (*((row.line, row.why) for row in table.set_aside), *((n.line, n.what) for n in table.troubles)):
        yield Trouble("line", facts={"note": note}, source=source.name, place=f"line {line}" if line else "")


def _item(row: Row) -> Item:
    cells = "\0".join(f"{name}\1{text}" for part in (row.values, row.extra) for name, text in sorted(part.items()))
    title = row.get("title") or _title(row) or row.get("description")[:300]
    own = stable_id(row.get("lot_id"), title, row.get("url"))
    return Item(own, digest(cells.encode("utf-8", "replace")), f"line {row.line}")


def _are_bids(table: Table) -> bool:
    """Whether the column of prices is headed as one of bids: they still rise."""
    return heads_bids(table.columns.get("price", ""), timed="ends_at" in table.columns)


def _as_bid(row: Row) -> Row:
    values = {"current_bid" if name == "price" else name: text for name, text in row.values.items()}
    return replace(row, values=values)


def _title(row: Row) -> str:
    """A title made of its parts; a grade beside a description is none."""
    if not (row.get("denomination") or row.get("year")):
        return ""
    return " ".join(filter(None, (row.get(part) for part in TITLE_PARTS)))


def _entry(source: Source, item: Item, row: Row, stated: dict[str, str]) -> Outcome:
    description = words_of(row.get("description"))
    title = clean(words_of(row.get("title"))) or clean(_title(row)) or clean(description.partition("\n")[0], 200)
    if not title:
        return "untitled row"
    fields = {name: clean(text, 1_000) for name, text in row.values.items() if name not in OWN_PLACES} | stated
    extra = {clean(name, 100): clean(text, 1_000) for name, text in row.extra.items()}
    return Entry(source.name, item.place, item.id, title, description, web_link(row.get("url"), source), fields, extra)
