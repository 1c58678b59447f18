"""A backup is proven before it counts, and again before it comes back."""

from __future__ import annotations

import sqlite3
import zipfile
from contextlib import closing
from pathlib import Path

import pytest

from tests.shelf.pieces import NOW, row
from watchlist.desk.checking import check
from watchlist.desk.desk import Desk
from watchlist.shelf.backup import backup, restore
from watchlist.shelf.errors import ShelfTorn
from watchlist.shelf.proof import faults_of
from watchlist.shelf.shelf import Shelf
from watchlist.shelf.store.connection import Connection


@pytest.fixture
def shelf(tmp_path: Path) -> Path:
    with Shelf.open(tmp_path / "shelf", write=True) as opened:
        opened.store.lots.save([row(1)])
    return tmp_path / "shelf"


def packed(shelf: Path, target: Path, /, **other: bytes) -> Path:
    with zipfile.ZipFile(target, "w", zipfile.ZIP_DEFLATED) as file:
        for name in ("shelf.db", "notebook.json"):
            file.writestr(name, other.get(name.split(".")[0], (shelf / name).read_bytes()))
    return target


def test_a_store_with_a_record_that_cannot_be_read_takes_no_backups_place(shelf: Path, tmp_path: Path) -> None:
    before = backup(shelf, tmp_path / "b.zip").read_bytes()
    with closing(sqlite3.connect(shelf / "shelf.db")) as db:
        db.execute("UPDATE texts SET lot = '{}'")
        db.commit()
    with pytest.raises(ShelfTorn, match="record 1 of texts"):
        backup(shelf, tmp_path / "b.zip")
    assert (tmp_path / "b.zip").read_bytes() == before
    with pytest.raises(ShelfTorn, match="record 1 of texts"):
        restore(packed(shelf, tmp_path / "torn.zip"), tmp_path / "new")


def test_a_foreign_database_is_refused(shelf: Path, tmp_path: Path) -> None:
    with closing(sqlite3.connect(tmp_path / "foreign.db")) as db:
        db.execute("CREATE TABLE lots(id)")
    foreign = packed(shelf, tmp_path / "b.zip", shelf=(tmp_path / "foreign.db").read_bytes())
    with pytest.raises(ShelfTorn, match="not one of this program"):
        restore(foreign, tmp_path / "new")


@pytest.mark.parametrize(
    ("notebook", "why"), [(b"{}", "schema"), (b" " * 100_000_001, "100,000,001 bytes")], ids=["none", "blanks"]
)
def test_what_is_no_notebook_is_refused(shelf: Path, tmp_path: Path, notebook: bytes, why: str) -> None:
    with pytest.raises(ShelfTorn, match=why):
        restore(packed(shelf, tmp_path / "b.zip", notebook=notebook), tmp_path / "new")
    assert {file.name for file in (tmp_path / "new").iterdir()} <= {"lock"}


def test_check_names_a_record_that_cannot_be_read(shelf: Path) -> None:
    with closing(sqlite3.connect(shelf / "shelf.db")) as db:
        db.execute("UPDATE texts SET reading = '{}'")
        db.commit()
    with Shelf.open(shelf, write=False) as opened:
        found = {each.what: each for each in check(Desk(opened, NOW))}
    assert not found["store"].ok
    assert "record 1 of texts" in found["store"].text


def test_a_row_that_names_a_missing_one_is_told(shelf: Path) -> None:
    with closing(sqlite3.connect(shelf / "shelf.db")) as db:
        db.execute("PRAGMA foreign_keys = OFF")
        db.execute("INSERT INTO results SELECT 'north:1', 99, 1, 0")
        db.commit()
    with closing(Connection(shelf / "shelf.db", write=False)) as opened:
        assert any("that is missing" in fault for fault in faults_of(opened))


def test_a_page_that_cannot_be_read_is_told_in_one_sentence(shelf: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def broken(*_: object) -> None:
        raise ShelfTorn("a page is torn")

    with closing(Connection(shelf / "shelf.db", write=False)) as opened:
        monkeypatch.setattr(opened, "rows", broken)
        assert faults_of(opened) == ["a page is torn"]
