"""Whether a store is whole: every page, every reference, every record. Backups are proven by it before they count."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator
from functools import partial
from itertools import islice
from pathlib import Path
from typing import Any

from watchlist.core.coins.issue import Issue
from watchlist.core.decisions.review import Decision
from watchlist.core.lots.record import Lot
from watchlist.core.marks.record import Judgement
from watchlist.core.prices.realised import GuideRow
from watchlist.core.reading.record import Reading
from watchlist.shelf.errors import RecordError, ShelfError
from watchlist.shelf.records import loads
from watchlist.shelf.safe_storage import Tables, parse
from watchlist.shelf.store.connection import Connection, Row
from watchlist.shelf.store.price_columns import WHOLE, price_from
from watchlist.shelf.store.purchases import Purchase

NAMED = 5
"""Faults that are named; more would not help."""
RECORDS: dict[str, Callable[[str], Any]] = {
    "issues.data": partial(loads, Issue),
    "guides.data": partial(loads, GuideRow),
    "purchases.data": partial(loads, Purchase),
    "findings.data": json.loads,
    "decisions.data": partial(loads, Decision),
    "entries.back": json.loads,
    "entries.pending": json.loads,
    "decisions.lot_then": partial(loads, Lot),
    "decisions.judgement_then": partial(loads, Judgement),
    "feeds.data": json.loads,
    "market.data": json.loads,
    "meta.value": json.loads,
    "texts.lot": partial(loads, Lot),
    "texts.reading": partial(loads, Reading),
    "texts.judgement": partial(loads, Judgement),
}
"""Each column that holds records, and what reads one."""


def faults_of(db: Connection) -> list[str]:
    """The first faults of a store, in words; empty when it is whole."""
    try:
        return list(islice(_faults(db), NAMED))
    except ShelfError as error:  # a page so torn that SQLite cannot go on
        return [str(error)]


def _faults(db: Connection) -> Iterator[str]:
    pages = [text for (text,) in db.rows(f"PRAGMA quick_check({NAMED})")]
    if pages != ["ok"]:
        yield from pages
        return
    for table, row, other, _ in db.each("PRAGMA foreign_key_check"):
        yield f"{table} row {row} names a row of {other} that is missing"
    there = {name for (name,) in db.rows("SELECT name FROM sqlite_master")}
    for place, read in RECORDS.items():
        table, column = place.split(".")
        if table in there:  # a backup may be of an earlier schema
            rows = db.each(f"SELECT {column} FROM {table} WHERE {column} IS NOT NULL")
            yield from _unread(table, rows, lambda row, read=read: read(*row))  # type: ignore[misc]
    if db.rows("SELECT 1 FROM pragma_table_info('prices') WHERE name = 'amount'"):  # else of an earlier schema
        yield from _unread("prices", db.each(WHOLE), price_from)


def _unread(table: str, rows: Iterator[Row], read: Callable[[Row], Any]) -> Iterator[str]:
    for number, row in enumerate(rows, 1):
        try:
            read(row)
        except (RecordError, ValueError, TypeError, RecursionError) as error:
            yield f"record {number} of {table}: {str(error).rstrip('.')}"


def notebook_in(path: Path) -> Tables:
    """The tables of a notebook that says its schema. Raises ValueError with the reason."""
    tables = parse(path.read_bytes())
    if not any(isinstance(row.get("schema"), int) for row in tables.get("notebook", {}).values()):
        raise ValueError("it does not say its schema")
    return tables
