"""The whole shelf as a zip of JSON lines that any program can read, and the way back; docs/shelf.md describes it.

The same shelf gives the same bytes: tables by name, rows in the order in which they are kept, columns by name, and no
hour of the writing."""

from __future__ import annotations

import json
import shutil
import zipfile
from collections.abc import Mapping, Sequence
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from watchlist.shelf.backup import backup, check, reading, restore, take_out
from watchlist.shelf.disk import Disk
from watchlist.shelf.errors import ShelfError, ShelfTorn
from watchlist.shelf.folder import NOTEBOOK, SETTINGS, STORE
from watchlist.shelf.proof import RECORDS
from watchlist.shelf.store import Store
from watchlist.shelf.store.connection import Connection

ABOUT, FORM = "about.json", "open shelf 1"
"""The first file, and what it says of the form."""
LONGEST = 64_000_000
"""Bytes of one line; more than any record has."""
COMPACT: dict[str, Any] = {"separators": (",", ":"), "check_circular": False}
"""ASCII, as the shelf keeps its records."""
TABLES = """SELECT name, sql LIKE '%WITHOUT ROWID' FROM sqlite_master WHERE type = 'table' AND
    (name = 'sqlite_sequence' OR name NOT LIKE 'sqlite\\_%' ESCAPE '\\') AND name NOT LIKE 'words%'
    ORDER BY name = 'sqlite_sequence', name"""
"""What SQLite keeps for itself and the index of titles are left out: they are made anew. The numbers given so far come
last, as SQLite counts on while rows are put in."""


@dataclass(frozen=True, slots=True)
class Table:
    """A table of the store."""

    name: str
    columns: tuple[str, ...]
    packed: frozenset[str]
    """Columns of bytes, written as hexadecimal figures."""
    records: frozenset[str]
    """Columns of JSON, written as what they hold."""
    order: str

    @property
    def file(self) -> str:
        """Its name in the zip."""
        return f"store/{self.name}.jsonl"


def write_out(shelf: Path, target: Path, *, disk: Disk | None = None) -> Path:
    """Write the shelf into one file, also while another process writes. The file's path."""
    return backup(shelf, target, disk=disk, pack=_pack)


def bring_in(source: Path, shelf: Path, *, disk: Disk | None = None) -> None:
    """Make a shelf of such a file, proven whole before anything is put there; one that holds something is refused."""
    restore(source, shelf, disk=disk, unpack=_unpack)


def tables(db: Connection) -> dict[str, Table]:
    """The tables of a store, by their file."""
    found = [_table(db, name, bare=bool(bare)) for name, bare in db.rows(TABLES)]
    return {table.file: table for table in found}


def _table(db: Connection, name: str, *, bare: bool) -> Table:
    columns = sorted(db.rows("SELECT name, type, pk FROM pragma_table_info(?)", (name,)))
    keys = [column for column, _, place in sorted(columns, key=lambda each: each[2]) if place]
    return Table(
        name,
        tuple(column for column, _, _ in columns),
        frozenset(column for column, kind, _ in columns if kind == "BLOB"),
        frozenset(place.partition(".")[2] for place in RECORDS if place.partition(".")[0] == name),
        ", ".join(keys) if bare else "name" if name == "sqlite_sequence" else "rowid",
    )


def _pack(store: Path, shelf: Path, draft: Path) -> None:
    with closing(Connection(store, write=False)) as db, zipfile.ZipFile(draft, "w") as file:
        every = tables(db)
        rows = {each.name: db.number(f"SELECT count(*) FROM {each.name}") for each in every.values()}
        about = {"form": FORM, "schema": db.number("PRAGMA user_version"), "rows": rows}
        file.writestr(_entry(ABOUT), json.dumps(about, indent=1) + "\n")
        for name in (NOTEBOOK, SETTINGS):
            if (shelf / name).exists():
                file.writestr(_entry(name), (shelf / name).read_bytes())
        for each in every.values():
            with file.open(_entry(each.file), "w", force_zip64=True) as out:
                for row in db.each(f"SELECT {', '.join(each.columns)} FROM {each.name} ORDER BY {each.order}"):
                    out.write(_line(each, row))


def _entry(name: str) -> zipfile.ZipInfo:
    made = zipfile.ZipInfo(name)  # of 1980, the first day a zip knows
    made.compress_type = zipfile.ZIP_DEFLATED
    made.create_system = 3  # else it tells which system wrote it
    return made


def _line(table: Table, row: Sequence[Any]) -> bytes:
    told = {name: _told(table, name, value) for name, value in zip(table.columns, row, strict=True)}
    return json.dumps(told, **COMPACT).encode() + b"\n"


def _told(table: Table, name: str, value: Any) -> Any:
    if name in table.packed and value is not None:
        return value.hex()
    if name in table.records and value is not None:
        held = json.loads(value)
        return held if isinstance(held, dict | list) and json.dumps(held, **COMPACT) == value else value
    return value


def _unpack(source: Path, folder: Path) -> list[Path]:
    with reading(source) as file:
        if ABOUT not in file.namelist():
            raise ShelfTorn(f"{source} is not a shelf in the open form. Nothing was changed.")
        try:
            with closing(Store(folder / STORE, write=True)) as store:
                _fill(file, store)
        except (ShelfError, ValueError, RecursionError) as error:
            raise ShelfTorn(f"{source} cannot be used: {str(error).rstrip('.')}. Nothing was changed.") from error
        others = [take_out(file, name, folder) for name in (NOTEBOOK, SETTINGS) if name in file.namelist()]
    check(folder, source)
    return [folder / STORE, *others]


def _fill(file: zipfile.ZipFile, store: Store) -> None:
    """Every row of the file into an empty store. Raises ValueError for what is not as it is written."""
    every = tables(store.db)
    _look(file, every, store.db.path.parent)
    about = _object(file.read(ABOUT), ABOUT)
    ours = store.db.number("PRAGMA user_version")
    if about.get("form") != FORM or about.get("schema") != ours:
        raise ValueError(
            f"it is of the form {about.get('form')!r} and schema {about.get('schema')}, not of {FORM!r} and {ours}"
        )
    with store.together():
        for name, each in every.items():
            store.db.run(f"DELETE FROM {each.name}")  # what a new store has of itself
            if name in file.namelist():
                _fill_table(file, store.db, each)
    for each in every.values():
        found, said = store.db.number(f"SELECT count(*) FROM {each.name}"), _count(about, each.name)
        if found != said:
            raise ValueError(f"{each.file} has {found:,} rows, and {ABOUT} says {said}")


def _count(about: Mapping[str, Any], name: str) -> object:
    rows = about.get("rows")
    return rows.get(name, 0) if isinstance(rows, dict) else None


def _look(file: zipfile.ZipFile, every: Mapping[str, Table], folder: Path) -> None:
    """Before a byte is unpacked: no foreign file, none twice, and room for all of them."""
    names = file.namelist()
    known = {ABOUT, NOTEBOOK, SETTINGS, *every}
    if foreign := [name for name in names if name not in known or names.count(name) > 1]:
        raise ValueError(f"{foreign[0]!r} in it is not a file of a shelf, or stands there twice")
    if file.getinfo(ABOUT).file_size > 1_000_000:
        raise ValueError(f"{ABOUT} in it is too long")
    size, free = sum(each.file_size for each in file.infolist()), room(folder)
    if size > free:
        raise ValueError(f"it would be {size:,} bytes long unpacked, and the disk has space for {free:,}")


def room(folder: Path) -> int:
    """Bytes that the disk has room for."""
    return shutil.disk_usage(folder).free


def _fill_table(file: zipfile.ZipFile, db: Connection, table: Table) -> None:
    with file.open(table.file) as lines:
        named = enumerate(iter(lambda: lines.readline(LONGEST + 1), b""), 1)
        rows = (_row(table, line, f"line {number} of {table.file}") for number, line in named)
        db.many(
            f"INSERT INTO {table.name}({', '.join(table.columns)}) VALUES ({', '.join('?' * len(table.columns))})", rows
        )


def _row(table: Table, line: bytes, place: str) -> Sequence[object]:
    if len(line) > LONGEST:
        raise ValueError(f"{place} is too long")
    told = _object(line, place)
    if set(told) != set(table.columns):
        odd = sorted(set(told) ^ set(table.columns))
        raise ValueError(f"{place} lacks {odd[0]!r}, or has it and should not")
    return [_kept(table, name, told[name], place) for name in table.columns]


def _object(text: bytes, place: str) -> dict[str, Any]:
    try:
        found = json.loads(text)
    except (ValueError, RecursionError) as error:
        raise ValueError(f"{place} is not JSON ({error})") from error
    if not isinstance(found, dict):
        raise ValueError(f"{place} is not an object")
    return found


def _kept(table: Table, name: str, value: Any, place: str) -> Any:
    if name in table.packed and isinstance(value, str):
        return bytes.fromhex(value)
    if isinstance(value, dict | list):
        if name not in table.records:
            raise ValueError(f"{name!r} in {place} is neither a text nor a figure")
        return json.dumps(value, **COMPACT)
    return value
