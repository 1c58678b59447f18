"""The shelf as a whole: opening, the writer lock, schemas, kill -9, full disks, torn files."""

from __future__ import annotations

import hashlib
import multiprocessing
import os
import random
import sqlite3
import subprocess
import sys
import zipfile
from contextlib import closing
from pathlib import Path

import pytest

from tests.shelf.killing import HERE, kill_loop
from tests.shelf.pieces import NOW, TODAY, is_a_sentence, judged, row
from watchlist.core.decisions.review import Decision
from watchlist.core.marks.record import Want
from watchlist.shelf.backup import restore
from watchlist.shelf.errors import (
    SettingsError,
    ShelfError,
    ShelfLocked,
    ShelfNewer,
    ShelfReading,
    ShelfRefused,
    ShelfTorn,
)
from watchlist.shelf.folder import NOTEBOOK, STORE
from watchlist.shelf.lock import WriterLock
from watchlist.shelf.shelf import Shelf
from watchlist.shelf.store import Store
from watchlist.shelf.store.connection import Connection
from watchlist.shelf.store.schema import STEPS, Schema

OURS = len(STEPS) + 1
"""The schema of a store today."""


def filled(path: Path, lots: int = 5) -> Path:
    with Shelf.open(path, write=True, today=lambda: TODAY) as shelf:
        shelf.store.lots.save(row(n, judgement=judged()) for n in range(lots))
        shelf.store.decisions.add(decision(n) for n in range(lots))
        shelf.notebook.wants.put(Want("w1", "Orvany", "5 tor", 1893))
    return path


def decision(number: int) -> Decision:
    return Decision(0, f"b{number}", NOW, "follow", f"north:{number}")


@pytest.mark.parametrize("write", [True, False])
def test_an_empty_shelf_is_made_where_none_is(tmp_path: Path, write: bool) -> None:
    with Shelf.open(tmp_path / "deep" / "shelf", write=write) as shelf:
        store = shelf.store
        for nothing in (
            shelf.notices,
            shelf.notebook.wants.list(),
            store.listing.lines(),
            store.decisions.all(),
            list(store.prices.each()),
        ):
            assert nothing == []
    assert {"notebook.json", "shelf.db", "lock"} <= {file.name for file in (tmp_path / "deep" / "shelf").iterdir()}


def test_settings_belong_to_the_shelf(tmp_path: Path) -> None:
    (tmp_path / "settings.toml").write_text('[home]\ncurrenzy = "CHF"')
    with Shelf.open(tmp_path, write=True) as shelf:
        assert "`currency`" in shelf.notices[0]
    other = tmp_path / "other.toml"
    other.write_text("[home]\ncurrency = 1")
    with pytest.raises(SettingsError, match=r"other\.toml"):
        Shelf.open(tmp_path, write=False, settings=other)


def test_a_settings_file_that_is_named_has_to_be_there(tmp_path: Path) -> None:
    with pytest.raises(SettingsError, match=r"There is no settings file .*none\.toml\. Nothing was changed"):
        Shelf.open(tmp_path, write=True, settings=tmp_path / "none.toml")


def test_a_file_in_the_place_of_the_folder_is_named(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("mine")
    with pytest.raises(ShelfRefused, match="is a file, and a shelf is a folder"):
        Shelf.open(tmp_path / "file", write=True)
    with pytest.raises(ShelfRefused, match="cannot be made"):
        Shelf.open(tmp_path / "file" / "shelf", write=True)


def test_a_second_writer_is_told_who_holds_the_shelf(tmp_path: Path) -> None:
    with Shelf.open(tmp_path, write=True):
        with pytest.raises(ShelfLocked, match=rf"\(pid {os.getpid()}, since [^)]*\)\. Nothing was changed; try again"):
            Shelf.open(tmp_path, write=True, wait=0.02)
        with Shelf.open(tmp_path, write=False) as reader:
            assert reader.store.listing.count() == 0
    Shelf.open(tmp_path, write=True).close()


def test_the_lock_names_no_one_when_the_file_says_nothing(tmp_path: Path) -> None:
    held = WriterLock(tmp_path / "lock")
    held.take()
    (tmp_path / "lock").write_text("nonsense")
    with pytest.raises(ShelfLocked, match=r"Another Watchlist process uses this shelf\. Nothing"):
        WriterLock(tmp_path / "lock").take()
    held.free()


def edit(path: Path, name: str, count: int) -> None:
    for number in range(count):
        with Shelf.open(path, write=True, wait=60, today=lambda: TODAY) as shelf:
            shelf.notebook.wants.put(Want(f"{name}{number}", "Orvany", "5 tor", 1893))
            shelf.store.decisions.add([Decision(0, f"{name}{number}", NOW, "follow", "north:1")])


def test_two_writers_lose_nothing(tmp_path: Path) -> None:
    spawn = multiprocessing.get_context("spawn")
    writers = [spawn.Process(target=edit, args=(tmp_path, name, 200)) for name in "ab"]
    for writer in writers:
        writer.start()
    for writer in writers:
        writer.join(100)
        assert writer.exitcode == 0
    with Shelf.open(tmp_path, write=False) as shelf:
        meant = {f"{name}{number}" for name in "ab" for number in range(200)}
        assert {want.id for want in shelf.notebook.wants.list()} == meant
        assert {made.batch for made in shelf.store.decisions.all()} == meant


def test_kill_nine_loses_nothing_acknowledged(tmp_path: Path) -> None:
    assert "none lost" in kill_loop(tmp_path, 25)


WRITES = """
import sys
import zipfile
from contextlib import closing
from pathlib import Path
from tests.shelf.pieces import NOW
from watchlist.core.decisions.review import Decision
from watchlist.shelf.shelf import Shelf
with Shelf.open(Path(sys.argv[1]), write=True) as shelf:
    shelf.store.decisions.add([Decision(0, "b9", NOW, "follow", "north:9")])
"""


@pytest.mark.skipif(sys.platform == "win32", reason="the locks that a close drops are those of POSIX")
def test_a_second_reader_that_closes_leaves_the_first_one_its_locks(tmp_path: Path) -> None:
    """Without them another program that writes takes the log away from under the standing reader.

    https://www.sqlite.org/howtocorrupt.html, section 2.2: a close of any handle of the file drops all its locks."""
    filled(tmp_path)
    with Shelf.open(tmp_path, write=False) as standing:
        before = len(standing.store.decisions.all())
        Shelf.open(tmp_path, write=False).close()
        for written in (1, 2):
            subprocess.run([sys.executable, "-c", WRITES, str(tmp_path)], check=True, cwd=HERE.parents[2])
            assert (tmp_path / "shelf.db-wal").exists()
            assert len(standing.store.decisions.all()) == before + written


def test_a_reader_that_closes_last_leaves_the_log_alone(tmp_path: Path) -> None:
    """Readers must not checkpoint: SQLite up to 3.51.2 can harm the file when two do at once."""
    filled(tmp_path)
    reader = Shelf.open(tmp_path, write=False)
    with Shelf.open(tmp_path, write=True) as writer:
        writer.store.decisions.add([decision(9)])
    wal = (tmp_path / "shelf.db-wal").read_bytes()
    assert wal
    reader.close()
    assert (tmp_path / "shelf.db-wal").read_bytes() == wal
    with Shelf.open(tmp_path, write=False) as again:
        assert len(again.store.decisions.all()) == 6


# --- schemas ---


def newer(path: Path) -> None:
    db = sqlite3.connect(path / "shelf.db")
    db.execute("PRAGMA user_version = 99")
    db.close()


def test_a_newer_store_is_read_only(tmp_path: Path) -> None:
    newer(filled(tmp_path))
    with pytest.raises(ShelfNewer, match=f"schema 99, this program knows {OURS}"):
        Shelf.open(tmp_path, write=True)
    with Shelf.open(tmp_path, write=False) as shelf:
        assert "reading only" in shelf.notices[0]
        assert shelf.store.listing.count() == 5
    WriterLock(tmp_path / "lock").take()  # the refused writer let go of the lock


def add_column(db: Connection) -> None:
    db.run("ALTER TABLE issues ADD COLUMN shown INT")


def test_an_older_store_is_brought_up(tmp_path: Path) -> None:
    filled(tmp_path)
    store = Store(tmp_path / "shelf.db", write=True, steps=(*STEPS, add_column), keep=lambda: "backups/before.zip")
    assert Schema(store.db).schema() == OURS + 1
    assert store.db.rows("SELECT shown FROM issues") == []
    assert len(store.decisions.all()) == 5
    assert "kept in backups/before.zip." in store.notices[0]
    store.close()
    with pytest.raises(ShelfNewer):
        Shelf.open(tmp_path, write=True)


def test_a_step_that_fails_leaves_the_older_store(tmp_path: Path) -> None:
    filled(tmp_path)

    def fail(db: Connection) -> None:
        db.run("DROP TABLE decisions")
        raise KeyError

    with pytest.raises(KeyError):
        Store(tmp_path / "shelf.db", write=True, steps=(*STEPS, fail), keep=str)
    with Shelf.open(tmp_path, write=True) as shelf:
        assert len(shelf.store.decisions.all()) == 5


def frozen(path: Path) -> Path:
    """A shelf of the first schema, as the program of its day left it."""
    with zipfile.ZipFile(HERE.parents[1] / "data" / "shelf_schema_1.zip") as file:
        file.extractall(path)
    return path


@pytest.mark.parametrize("write", [True, False])
def test_before_a_new_schema_the_whole_shelf_is_backed_up_once(tmp_path: Path, write: bool) -> None:
    notebook = (frozen(tmp_path / "shelf") / "notebook.json").read_bytes()
    with Shelf.open(tmp_path / "shelf", write=write, today=lambda: TODAY) as shelf:
        kept = "the whole shelf as it was is kept in backups/before-new-schema-2026-06-01.zip."
        assert [notice.endswith(kept) for notice in shelf.notices] == [True, True], "one backup for both files"
        decisions = shelf.store.decisions.all()
    (backup,) = (tmp_path / "shelf" / "backups").iterdir()
    with zipfile.ZipFile(backup) as file:
        assert file.read("notebook.json") == notebook
        (tmp_path / "old.db").write_bytes(file.read("shelf.db"))
    with closing(Connection(tmp_path / "old.db", write=False)) as old:
        assert Schema(old).schema() == 1
    restore(backup, tmp_path / "again", today=lambda: TODAY)
    with Shelf.open(tmp_path / "again", write=False, today=lambda: TODAY) as again:
        assert again.store.decisions.all() == decisions


def test_a_store_that_is_not_whole_is_brought_to_no_new_schema(tmp_path: Path) -> None:
    with closing(sqlite3.connect(frozen(tmp_path) / "shelf.db")) as db:
        db.execute("UPDATE issues SET data = '{' WHERE rowid = 1")
        db.commit()
    with pytest.raises(ShelfTorn, match=r"is not whole \(record 1 of issues.*No backup was written"):
        Shelf.open(tmp_path, write=True)
    with closing(Connection(tmp_path / "shelf.db", write=False)) as old:
        assert Schema(old).schema() == 1
    assert list((tmp_path / "backups").iterdir()) == []


# --- damage ---


def digest(path: Path) -> str:
    return hashlib.sha256(path.read_bytes()).hexdigest()


def look_at_everything(path: Path, *, write: bool) -> None:
    with Shelf.open(path, write=write) as shelf:
        shelf.store.decisions.all()
        shelf.store.lots.by_key(line.key for line in shelf.store.listing.lines())
        shelf.store.listing.lines(order="title")
        shelf.store.market.header()
        shelf.store.listing.census()
        list(shelf.store.prices.each())
        if write:
            shelf.store.decisions.add([decision(77)])


@pytest.mark.parametrize("keep", [0, 1, 50, 100, 4095, 4096, 8192, 0.5, 0.9, -1, -4096])
def test_a_store_cut_short_is_named_and_left_alone(tmp_path: Path, keep: float) -> None:
    path = filled(tmp_path) / "shelf.db"
    raw = path.read_bytes()
    path.write_bytes(raw[: int(keep * len(raw)) if isinstance(keep, float) else keep or 0])
    before = digest(path)
    for write in (False, True):
        with pytest.raises(ShelfTorn, match="watchlist restore") as caught:
            Shelf.open(tmp_path, write=write)
        assert str(path) in str(caught.value)
    assert digest(path) == before


def test_a_foreign_file_is_left_alone(tmp_path: Path) -> None:
    filled(tmp_path)
    path = tmp_path / "shelf.db"
    path.write_bytes(b"not a store at all, but long enough to have a header, " * 9)
    before = digest(path)
    with pytest.raises(ShelfTorn, match="not a store"):
        Shelf.open(tmp_path, write=True)
    path.unlink()
    other = sqlite3.connect(path)
    other.execute("CREATE TABLE mine(x)")
    other.close()
    with pytest.raises(ShelfTorn, match="not a store of this program"):
        Shelf.open(tmp_path, write=True)
    assert digest(path) != before


def test_the_newest_backup_is_offered(tmp_path: Path) -> None:
    filled(tmp_path)
    (tmp_path / "backups").mkdir()
    (tmp_path / "backups" / "shelf-2026-05-31.zip").write_bytes(b"")
    (tmp_path / "shelf.db").write_bytes(b"gone")
    with pytest.raises(ShelfTorn, match=r"restore .*shelf-2026-05-31\.zip"):
        Shelf.open(tmp_path, write=False)


def test_flipped_bits_give_a_sentence_or_no_harm(tmp_path: Path) -> None:
    """Any bit of the store may flip: what follows is an answer or one sentence, and reading changes nothing."""
    path, chance = filled(tmp_path, lots=40) / "shelf.db", random.Random(3)
    raw = path.read_bytes()
    told = 0
    for turn in range(150):
        harmed = bytearray(raw)
        at = chance.randrange(100) if turn % 3 == 0 else chance.randrange(len(raw))
        for spot in (at, *(chance.randrange(len(raw)) for _ in range(turn % 30))):
            harmed[spot] ^= 1 << chance.randrange(8)
        path.write_bytes(harmed)
        try:
            look_at_everything(tmp_path, write=False)
        except ShelfError as error:
            told += 1
            is_a_sentence(error)
        assert path.read_bytes() == harmed
        try:
            look_at_everything(tmp_path, write=True)
        except ShelfError as error:
            is_a_sentence(error)
        for log in tmp_path.glob("shelf.db-*"):
            log.unlink()
    assert told > 20


# --- a disk that refuses ---


def test_a_full_store_keeps_what_was_acknowledged(tmp_path: Path) -> None:
    filled(tmp_path)
    with Shelf.open(tmp_path, write=True) as shelf:
        pages = shelf.store.db.number("PRAGMA page_count")
        shelf.store.db.run(f"PRAGMA max_page_count = {pages + 3}")
        kept = 5
        try:
            for number in range(100, 10_000):
                shelf.store.decisions.add([decision(number)])
                kept += 1
        except ShelfRefused as error:
            is_a_sentence(error, "make room")
        assert kept < 5000
        assert len(shelf.store.decisions.all()) == kept
    with Shelf.open(tmp_path, write=False) as shelf:
        assert len(shelf.store.decisions.all()) == kept


def test_the_disk_may_be_full_at_any_point(tmp_path: Path) -> None:
    refused = 0
    for turn, limit in enumerate(range(1_000, 260_000, 31_013)):
        path = filled(tmp_path / str(turn))
        command = [sys.executable, "-m", "tests.shelf.killing", str(path), "full", str(limit)]
        out = subprocess.run(command, capture_output=True, text=True, cwd=HERE.parents[2], check=False)
        assert out.returncode == 0, out.stderr
        lines = out.stdout.split("\n")
        refused += any(line.startswith("refused") for line in lines)
        told = [int(line) for line in lines if line.isdigit()]
        with Shelf.open(path, write=True) as shelf:
            assert shelf.notices == []
            assert set(told[::2]) <= {int(made.batch[1:]) for made in shelf.store.decisions.all()}
            assert set(told[1::2]) <= {int(want.id[1:]) for want in shelf.notebook.wants.list()}
            assert shelf.store.db.rows("PRAGMA integrity_check") == [("ok",)]
    assert refused > 5


def test_a_folder_that_cannot_be_made_is_one_sentence(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("")
    with pytest.raises(ShelfRefused, match="WATCHLIST_SHELF"):
        Shelf.open(tmp_path / "file" / "shelf", write=True)


def test_a_reader_says_that_it_cannot_write(tmp_path: Path) -> None:
    with Shelf.open(filled(tmp_path), write=False) as shelf, pytest.raises(ShelfReading):
        shelf.store.decisions.add([decision(1)])


def test_a_reader_has_an_older_notebook_renewed_by_a_writer(tmp_path: Path) -> None:
    """The store is of today, the notebook of an earlier program."""
    path = filled(tmp_path)
    notebook = path / NOTEBOOK
    notebook.write_text(notebook.read_text("utf-8").replace('"schema": 2', '"schema": 1'), "utf-8")
    with Shelf.open(path, write=False, today=lambda: TODAY) as shelf:
        assert [line for line in shelf.notices if "schema" in line]
        assert not shelf.notebook.older
    assert '"schema": 2' in notebook.read_text("utf-8")


def test_a_store_may_be_gone_beside_a_notebook_that_holds_nothing(tmp_path: Path) -> None:
    Shelf.open(tmp_path / "shelf", write=True).close()
    (tmp_path / "shelf" / STORE).unlink()
    with Shelf.open(tmp_path / "shelf", write=False) as shelf:
        assert shelf.store.listing.count() == 0


def test_the_store_says_whether_a_transaction_is_open(tmp_path: Path) -> None:
    with Shelf.open(tmp_path / "shelf", write=True) as shelf:
        assert not shelf.store.is_within()
        with shelf.store.together():
            assert shelf.store.is_within()
