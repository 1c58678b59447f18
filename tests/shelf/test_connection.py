"""The one door to SQLite: what a fault says, and that no road leaves a file open."""

from __future__ import annotations

import os
import sqlite3
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

from tests.shelf.pieces import is_a_sentence
from watchlist.shelf.errors import ShelfError, ShelfReading, ShelfRefused, ShelfTorn
from watchlist.shelf.shelf import Shelf
from watchlist.shelf.store import Store
from watchlist.shelf.store.connection import Connection
from watchlist.shelf.store.schema import STEPS


@pytest.fixture
def db(tmp_path: Path) -> Iterator[Connection]:
    opened = Connection(tmp_path / "some.db", write=True)
    opened.run("CREATE TABLE pairs(name TEXT UNIQUE, value ANY)")
    yield opened
    opened.close()


@pytest.fixture
def connected(monkeypatch: pytest.MonkeyPatch) -> list[sqlite3.Connection]:
    """Every connection that is made in the test."""
    made: list[sqlite3.Connection] = []
    connect = sqlite3.connect

    def keep(*args: Any, **named: Any) -> sqlite3.Connection:
        made.append(connect(*args, **named))
        return made[-1]

    monkeypatch.setattr(sqlite3, "connect", keep)
    return made


def is_closed(connection: sqlite3.Connection) -> bool:
    try:
        connection.execute("SELECT 1")
    except sqlite3.ProgrammingError:
        return True
    return False


def torn_inside(path: Path) -> None:
    """Whole by its size, and no store by its content."""
    path.write_bytes(b"SQLite format 3\0" + b"x" * 4080)


def of_another_program(path: Path) -> None:
    other = sqlite3.connect(path)
    other.execute("CREATE TABLE mine(x)")
    other.close()


def torn_notebook(path: Path) -> None:
    Shelf.open(path.parent, write=True).close()
    path.with_name("notebook.json").write_bytes(b"{")


@pytest.mark.parametrize("harm", [torn_inside, of_another_program, torn_notebook])
@pytest.mark.parametrize("write", [True, False])
def test_a_shelf_that_cannot_be_opened_leaves_no_connection_open(
    tmp_path: Path, connected: list[sqlite3.Connection], harm: Callable[[Path], None], write: bool
) -> None:
    harm(tmp_path / "shelf.db")
    with pytest.raises(ShelfTorn):
        Shelf.open(tmp_path, write=write)
    assert connected
    assert all(map(is_closed, connected))


def test_a_step_that_fails_leaves_no_connection_open(tmp_path: Path, connected: list[sqlite3.Connection]) -> None:
    Store(tmp_path / "shelf.db", write=True).close()

    def fail(db: Connection) -> None:
        raise KeyError

    with pytest.raises(KeyError):
        Store(tmp_path / "shelf.db", write=True, steps=(*STEPS, fail), keep=str)
    assert all(map(is_closed, connected))


def test_a_copy_that_fails_is_a_sentence_and_leaves_no_connection_open(
    db: Connection, tmp_path: Path, connected: list[sqlite3.Connection]
) -> None:
    target = tmp_path / "copy.db"
    target.write_bytes(b"SQLite format 3\0" + b"x" * 4080)
    with pytest.raises(ShelfError) as caught:
        db.copy_to(target)
    is_a_sentence(caught.value)
    assert all(map(is_closed, connected))


def test_a_folder_in_the_place_of_the_file_is_refused(tmp_path: Path) -> None:
    (tmp_path / "shelf.db").mkdir()
    with pytest.raises(ShelfRefused, match="could not be written or read"):
        Connection(tmp_path / "shelf.db", write=True)


@pytest.mark.parametrize(
    ("work", "kind", "said"),
    [
        (lambda db: db.run("INSERT INTO pairs VALUES ('\ud800', 1)"), ShelfError, "cannot be kept"),
        (lambda db: db.run("INSERT INTO pairs VALUES ('a', ?)", (1 << 70,)), ShelfError, "cannot be kept"),
        (lambda db: db.many("INSERT INTO pairs VALUES (?, 1)", [("a",), ("a",)]), ShelfError, "did not take this step"),
        (lambda db: db.rows("SELECT * FROM pairs WHERE name = ?"), ShelfError, "did not take this step"),
        (lambda db: list(db.each("SELECT * FROM absent")), ShelfTorn, "no such table"),
        (lambda db: db.json("{"), ShelfTorn, "not JSON"),
    ],
)
def test_what_does_not_fit_is_one_sentence(
    db: Connection, work: Callable[[Connection], Any], kind: type, said: str
) -> None:
    with pytest.raises(ShelfError, match=said) as caught:
        work(db)
    assert type(caught.value) is kind
    is_a_sentence(caught.value)
    assert db.number("SELECT count(*) FROM pairs") <= 1


def test_a_file_held_by_another_program_is_named(db: Connection) -> None:
    other = sqlite3.connect(db.path, isolation_level=None)
    other.execute("BEGIN IMMEDIATE")
    db.run("PRAGMA busy_timeout = 0")
    with pytest.raises(ShelfRefused, match="held by another program"), db.writing():
        pass
    other.close()
    with db.writing():
        db.run("INSERT INTO pairs VALUES ('a', 1)")


def test_a_reader_cannot_write(db: Connection) -> None:
    reader = Connection(db.path, write=False)
    with pytest.raises(ShelfReading, match="cannot be written to"):
        reader.run("INSERT INTO pairs VALUES ('a', 1)")
    reader.close()


def test_on_a_disk_that_cannot_be_written_to_nothing_is_laid_beside_the_file(
    db: Connection, monkeypatch: pytest.MonkeyPatch
) -> None:
    db.close()
    monkeypatch.setattr(os, "access", lambda *_: False)
    reader = Connection(db.path, write=False)
    assert reader.number("SELECT count(*) FROM pairs") == 0
    assert [file.name for file in db.path.parent.iterdir()] == ["some.db"]
    reader.close()


def test_what_a_person_typed_is_not_kept_in_a_transaction_that_may_be_lost(db: Connection) -> None:
    with pytest.raises(RuntimeError, match="may be lost"), db.writing(), db.writing(durable=True):
        pass


def test_a_long_question_can_be_broken_off(db: Connection) -> None:
    sql = "WITH RECURSIVE n(x) AS (SELECT 1 UNION ALL SELECT x + stopping(x) FROM n) SELECT x FROM n"

    def stopping(number: int) -> int:
        if number == 1000:
            db.stop()
        return 1

    db._db.create_function("stopping", 1, stopping)
    with pytest.raises(ShelfError, match="was interrupted"):
        for _ in db.each(sql):
            pass
    db.close()
    db.stop()  # closed meanwhile: nothing is left to break off
