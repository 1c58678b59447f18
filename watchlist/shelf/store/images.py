"""Rows of the store as text and back, whatever their columns: how a change keeps what it replaced."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping, Sequence
from typing import Any, Protocol

from watchlist.shelf.store.connection import Connection, Row
from watchlist.shelf.store.price_columns import COLUMNS, IDENTITY, result_digest
from watchlist.shelf.store.same_sale import vacant


class Place(Protocol):
    """A kind of record; an image is one of them as text, None where there is none."""

    def image(self, key: str) -> str | None:
        """The record with this key as it is now."""

    def put_image(self, key: str, image: str | None) -> None:
        """The record as its image says; None: it is gone."""


class Rows(Place, Protocol):
    """Records with numbers that rise, so that many new ones are named by the first and the last."""

    def images(self, first: int, last: int) -> Iterator[tuple[str, str]]:
        """The records of these numbers, each with its key."""

    def drop(self, first: int, last: int) -> None:
        """Forget the records of these numbers."""


class TableImages:
    """The rows of one table by the columns that make their key; in a key of several cells a blank parts them."""

    def __init__(self, db: Connection, table: str, *key: str) -> None:
        self._db, self._table, self._key = db, table, key
        self._where = " AND ".join(f"{name} = ?" for name in key)

    def image(self, key: str) -> str | None:
        """The row with this key."""
        return next((image for _, image in self._read(self._where, self._cells(key))), None)

    def put_image(self, key: str, image: str | None) -> None:
        """The row as it was, or none."""
        self._db.run(f"DELETE FROM {self._table} WHERE {self._where}", self._cells(key))
        if image is not None:
            insert(self._db, self._table, json.loads(image))

    def images(self, first: int, last: int) -> Iterator[tuple[str, str]]:
        """The rows whose numbers lie between the two."""
        return self._read(f"{self._key[0]} BETWEEN ? AND ?", (first, last))

    def drop(self, first: int, last: int) -> None:
        """Forget the rows whose numbers lie between the two."""
        self._db.run(f"DELETE FROM {self._table} WHERE {self._key[0]} BETWEEN ? AND ?", (first, last))

    def _cells(self, key: str) -> list[str]:
        return key.split(" ", len(self._key) - 1)

    def _read(self, where: str, values: Sequence[object]) -> Iterator[tuple[str, str]]:
        for row in rows_of(self._db, self._table, where, values):
            yield " ".join(str(row[name]) for name in self._key), json.dumps(row)


class PriceImages(TableImages):
    """Prices: one that comes back is told from all others as it would be today."""

    def put_image(self, key: str, image: str | None) -> None:
        """The price as it was, or none."""
        super().put_image(key, None)
        if image is not None:
            row = json.loads(image)
            old, cells = row.pop("digest"), tuple(row[name] for name in COLUMNS[IDENTITY])
            kept = (
                old if bytes.fromhex(old["hex"]) == result_digest(row["origin"]) else as_json(vacant(self._db, cells))
            )
            insert(self._db, "prices", row | {"digest": kept})


class WholeTable:
    """All rows of one table as one record, for what is always put as a whole."""

    def __init__(self, db: Connection, table: str) -> None:
        self._db, self._table = db, table

    def image(self, _: str) -> str | None:
        """All rows."""
        return json.dumps(list(rows_of(self._db, self._table)))

    def put_image(self, _: str, image: str | None) -> None:
        """The rows as they were."""
        self._db.run(f"DELETE FROM {self._table}")
        for row in json.loads(image or "[]"):
            insert(self._db, self._table, row)


PARTS = {"texts": "id", "lot_prices": "lot", "lot_wants": "lot"}
"""The tables of a lot's parts, each with the column that holds the lot's number."""


class LotImages:
    """A lot with its texts, its own prices and the wants that it answers."""

    def __init__(self, db: Connection) -> None:
        self._db = db

    def image(self, key: str) -> str | None:
        """The lot with this key."""
        lot = next(rows_of(self._db, "lots", "key = ?", (key,)), None)
        if lot is None:
            return None
        number = lot.pop("id")
        parts = {table: list(rows_of(self._db, table, f"{column} = ?", (number,))) for table, column in PARTS.items()}
        return json.dumps({"lot": lot, **parts})

    def put_image(self, key: str, image: str | None) -> None:
        """The lot as it was, under a number of its own; or none."""
        for number in [number for (number,) in self._db.rows("SELECT id FROM lots WHERE key = ?", (key,))]:
            for table, column in PARTS.items():
                self._db.run(f"DELETE FROM {table} WHERE {column} = ?", (number,))
            self._db.run("DELETE FROM lots WHERE id = ?", (number,))
        if image is None:
            return
        kept = json.loads(image)
        number = insert(self._db, "lots", kept["lot"])
        for table, column in PARTS.items():
            for row in kept[table]:
                insert(self._db, table, row | {column: number})


def places(db: Connection) -> dict[str, Place]:
    """Every kind of record in the store that a change may keep, by its name in the list."""
    return {
        "price": PriceImages(db, "prices", "id"),
        "issue": TableImages(db, "issues", "key"),
        "rate": TableImages(db, "rates", "currency", "month"),
        "guides": WholeTable(db, "guides"),
        "finding": TableImages(db, "findings", "id"),
        "feed": TableImages(db, "feeds", "source"),
        "fact": TableImages(db, "meta", "name"),
        "purchase": TableImages(db, "purchases", "lot"),
        "lot": LotImages(db),
    }


def columns(db: Connection, table: str) -> list[str]:
    """The names of a table's columns; with them the place of a row, where it is the order in which rows came."""
    named = [name for (name,) in db.rows("SELECT name FROM pragma_table_info(?)", (table,))]
    return ["rowid", *named] if table == "issues" else named


def rows_of(db: Connection, table: str, where: str = "1", values: Sequence[object] = ()) -> Iterator[dict[str, Any]]:
    """Rows of a table by the names of their columns; bytes stand as their hexadecimal digits."""
    names = columns(db, table)
    for row in db.each(f"SELECT {', '.join(names)} FROM {table} WHERE {where}", values):
        yield {name: as_json(cell) for name, cell in zip(names, row, strict=True)}


def as_json(cell: Any) -> Any:
    """A cell as JSON: bytes as their hexadecimal digits."""
    return {"hex": cell.hex()} if isinstance(cell, bytes) else cell


def insert(db: Connection, table: str, row: Mapping[str, Any]) -> int:
    """Put a row of `rows_of` there, as far as the table still has its columns; its number."""
    there = [name for name in columns(db, table) if name in row]
    cells: Row = tuple(bytes.fromhex(row[n]["hex"]) if isinstance(row[n], dict) else row[n] for n in there)
    return db.run(f"INSERT INTO {table}({', '.join(there)}) VALUES ({', '.join('?' * len(there))})", cells)
