"""A file of titles, or a table of lots, read and kept nowhere."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from watchlist.core.lots.source import Source
from watchlist.core.lots.trouble import Trouble
from watchlist.core.reading.record import Reading
from watchlist.desk.desk import Desk

TABLES = (".csv", ".tsv")
LOOK = 4_000
"""Bytes that show whether a text is a table."""


def read_titles(desk: Desk, body: bytes, name: str) -> tuple[Iterator[Reading], Sequence[Trouble]]:
    """The readings of a file: of each row of a table with all its columns, else of each line; and what a table's
    lines have of trouble. A text is a table by its name, or by two headings that are known."""
    from watchlist.feeds.read import read_entries  # only those who read a table load it

    if not _is_table(body, name):
        return (desk.reader.read(line) for line in _lines(body)), ()
    read = read_entries(Source(name, name, kind="csv"), body, seconds=float("inf"))
    if read.failed:
        return (desk.reader.read(line) for line in _lines(body)), read.troubles
    return (desk.reader.read(each.title, each.description, each.fields) for each in read.entries), read.troubles


def _lines(body: bytes) -> Iterator[str]:
    return (line for line in body.decode("utf-8", "replace").splitlines() if line.strip())


def _is_table(body: bytes, name: str) -> bool:
    from watchlist.feeds.table import read_table  # only those who read a table load it
    from watchlist.words import load

    if name.lower().endswith(TABLES):
        return True
    table = read_table(body[:LOOK], synonyms=load("columns"))
    named = "title" in table.columns or {"denomination", "year"} <= table.columns.keys()
    return named and len(table.columns) > 1
