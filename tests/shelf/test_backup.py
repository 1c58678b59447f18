"""Backup and restore: all comes back, nothing is covered unasked, every step may fail."""

from __future__ import annotations

import os
import random
import zipfile
from pathlib import Path

import pytest

from tests.shelf.pieces import TODAY, FailingDisk, is_a_sentence, row
from watchlist.core.marks.record import Want
from watchlist.shelf.backup import backup, default_target, keep_newest, restore
from watchlist.shelf.errors import ShelfError, ShelfLocked, ShelfNotEmpty, ShelfRefused, ShelfTorn
from watchlist.shelf.shelf import Shelf


@pytest.fixture
def shelf(tmp_path: Path) -> Path:
    path = tmp_path / "shelf"
    keep(path, "w1")
    (path / "settings.toml").write_text('[home]\ncurrency = "GBP"')
    return path


def keep(path: Path, want: str) -> None:
    with Shelf.open(path, write=True, today=lambda: TODAY) as opened:
        opened.store.lots.save([row(1)])
        opened.notebook.wants.put(Want(want, "Orvany", "5 tor", 1893))


def held(path: Path) -> tuple[list[str], int, str]:
    with Shelf.open(path, write=False) as opened:
        wants = [want.id for want in opened.notebook.wants.list()]
        return wants, opened.store.listing.count(), opened.settings.home.currency


def test_all_comes_back(shelf: Path, tmp_path: Path) -> None:
    target = backup(shelf, default_target(shelf, TODAY))
    assert target == shelf / "backups" / "shelf-2026-06-01.zip"
    assert default_target(shelf, TODAY).name == "shelf-2026-06-01-2.zip"
    assert restore(target, tmp_path / "new") is None
    assert held(tmp_path / "new") == (["w1"], 1, "GBP")


def test_a_backup_while_another_writes(shelf: Path, tmp_path: Path) -> None:
    with Shelf.open(shelf, write=True) as writer:
        writer.store.lots.save([row(2)])
        backup(shelf, tmp_path / "b.zip")
        with pytest.raises(ShelfLocked):
            restore(tmp_path / "b.zip", shelf, replace=True)
    restore(tmp_path / "b.zip", tmp_path / "new")
    assert held(tmp_path / "new")[1] == 2


def test_a_shelf_that_holds_something_is_put_aside_only_when_asked(shelf: Path, tmp_path: Path) -> None:
    backup(shelf, tmp_path / "b.zip")
    keep(shelf, "w2")
    with pytest.raises(ShelfNotEmpty, match="Nothing was changed"):
        restore(tmp_path / "b.zip", shelf, today=lambda: TODAY)
    assert held(shelf)[0] == ["w1", "w2"]
    aside = restore(tmp_path / "b.zip", shelf, replace=True, today=lambda: TODAY)
    assert held(shelf)[0] == ["w1"]
    assert aside == shelf / "before-restore-2026-06-01"
    assert held(aside)[0] == ["w1", "w2"]


def test_a_torn_store_is_replaced_and_kept(shelf: Path, tmp_path: Path) -> None:
    backup(shelf, tmp_path / "b.zip")
    (shelf / "shelf.db").write_bytes(b"torn")
    aside = restore(tmp_path / "b.zip", shelf, replace=True, today=lambda: TODAY)
    assert aside is not None
    assert (aside / "shelf.db").read_bytes() == b"torn"
    assert held(shelf) == (["w1"], 1, "GBP")


def test_a_damaged_backup_changes_nothing(shelf: Path, tmp_path: Path) -> None:
    target = backup(shelf, tmp_path / "b.zip")
    raw, chance = target.read_bytes(), random.Random(5)
    for turn in range(80):
        harmed = bytearray(raw[: chance.randrange(len(raw))] if turn % 2 else raw)
        if harmed:
            harmed[chance.randrange(len(harmed))] ^= 0xFF
        target.write_bytes(harmed)
        new = tmp_path / f"new{turn}"
        try:
            restore(target, new)
        except ShelfError as error:
            is_a_sentence(error)
            assert {file.name for file in new.iterdir()} <= {"lock"}
        else:
            assert held(new)[0] == ["w1"]  # the flip fell on something that does not matter


@pytest.mark.parametrize("content", [{"shelf.db": b"x" * 500}, {"notebook.json": b"{}"}, {}, {"../x": b""}])
def test_what_is_no_backup_is_refused(tmp_path: Path, content: dict[str, bytes]) -> None:
    with zipfile.ZipFile(tmp_path / "b.zip", "w") as file:
        for name, data in content.items():
            file.writestr(name, data)
    with pytest.raises(ShelfTorn):
        restore(tmp_path / "b.zip", tmp_path / "new")


def test_missing_files_are_one_sentence(shelf: Path, tmp_path: Path) -> None:
    with pytest.raises(ShelfRefused, match="could not be brought back"):
        restore(tmp_path / "none.zip", tmp_path / "new")
    with pytest.raises(ShelfError, match="no shelf"):
        backup(tmp_path / "nowhere", tmp_path / "b.zip")


def test_every_step_of_a_backup_may_fail(shelf: Path, tmp_path: Path) -> None:
    target = backup(shelf, tmp_path / "b.zip")
    before = target.read_bytes()
    for fails_at in range(1, 3):
        with pytest.raises(ShelfRefused):
            backup(shelf, target, disk=FailingDisk(fails_at))
        assert target.read_bytes() == before
    assert [file.name for file in tmp_path.iterdir() if file.name.startswith(".")] == []


def test_every_step_of_a_restore_may_fail(shelf: Path, tmp_path: Path) -> None:
    target = backup(shelf, tmp_path / "b.zip")
    keep(shelf, "w2")
    for fails_at in range(1, 40):
        try:
            restore(target, shelf, replace=True, today=lambda: TODAY, disk=FailingDisk(fails_at))
        except ShelfRefused:
            assert held(shelf)[0] == ["w1", "w2"], fails_at
            assert not list(shelf.glob("before-restore*"))
        else:
            assert held(shelf)[0] == ["w1"]
            return
    pytest.fail("the restore never went through")


def test_every_step_of_a_restore_into_an_empty_folder_may_fail(shelf: Path, tmp_path: Path) -> None:
    target = backup(shelf, tmp_path / "b.zip")
    new = tmp_path / "new"
    for fails_at in range(1, 40):
        try:
            restore(target, new, disk=FailingDisk(fails_at))
        except ShelfRefused as error:
            is_a_sentence(error)
            assert [file.name for file in new.iterdir()] == ["lock"], fails_at
        else:
            assert held(new)[0] == ["w1"]
            return
    pytest.fail("the restore never went through")


def test_a_shelf_without_notebook_and_settings_comes_back(shelf: Path, tmp_path: Path) -> None:
    for name in ("notebook.json", "settings.toml"):
        (shelf / name).unlink()
    restore(backup(shelf, tmp_path / "b.zip"), tmp_path / "new")
    assert held(tmp_path / "new") == ([], 1, "EUR")


def repacked(source: Path, target: Path, **content: bytes) -> Path:
    """The backup with other bytes in some of its files."""
    with zipfile.ZipFile(source) as old, zipfile.ZipFile(target, "w") as new:
        for name in old.namelist():
            new.writestr(name, content.get(name.split(".")[0], old.read(name)))
    return target


def test_a_backup_with_a_torn_notebook_is_refused(shelf: Path, tmp_path: Path) -> None:
    harmed = repacked(backup(shelf, tmp_path / "b.zip"), tmp_path / "harmed.zip", notebook=b"{")
    with pytest.raises(ShelfTorn, match=r"The notebook in .*harmed\.zip cannot be read \(line 1") as caught:
        restore(harmed, tmp_path / "new")
    is_a_sentence(caught.value)


def test_a_backup_with_an_unsound_store_is_refused(shelf: Path, tmp_path: Path) -> None:
    whole = backup(shelf, tmp_path / "b.zip")
    with zipfile.ZipFile(whole) as file:
        raw = bytearray(file.read("shelf.db"))
    raw[39] = 5  # pages that were let go of, of which there are none
    harmed = repacked(whole, tmp_path / "harmed.zip", shelf=bytes(raw))
    with pytest.raises(ShelfTorn, match=r"The store in .* is damaged") as caught:
        restore(harmed, tmp_path / "new")
    is_a_sentence(caught.value)


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="this system has no pipes in folders")
def test_a_pipe_or_a_device_is_not_put_aside(shelf: Path, tmp_path: Path) -> None:
    pipe = tmp_path / "pipe"
    os.mkfifo(pipe)
    with pytest.raises(ShelfRefused, match="not a plain file") as refused:
        backup(shelf, pipe)
    is_a_sentence(refused.value)
    assert pipe.is_fifo()


def test_a_link_is_followed(shelf: Path, tmp_path: Path) -> None:
    (tmp_path / "elsewhere").mkdir()
    link = tmp_path / "link.zip"
    link.symlink_to(tmp_path / "elsewhere" / "real.zip")
    backup(shelf, link)
    assert link.is_symlink()
    assert zipfile.is_zipfile(tmp_path / "elsewhere" / "real.zip")


def test_of_the_backups_in_the_shelf_the_newest_are_kept(tmp_path: Path) -> None:
    shelf = tmp_path / "shelf"
    Shelf.open(shelf, write=True).close()
    (shelf / "backups").mkdir()
    (shelf / "backups" / "of my own.zip").write_bytes(b"kept")
    made = [backup(shelf, default_target(shelf, TODAY)) for _ in range(4)]
    for at, file in enumerate(made):
        os.utime(file, ns=(at, at))
    assert keep_newest(shelf, 2) == made[:2]
    assert sorted(file.name for file in (shelf / "backups").iterdir()) == sorted(
        ["of my own.zip", *(file.name for file in made[2:])]
    )
    assert keep_newest(shelf, 0) == made[2:3], "one stays in any case"


@pytest.mark.parametrize("write", [True, False])
def test_a_store_that_is_missing_beside_a_notebook_is_said_and_not_replaced(tmp_path: Path, write: bool) -> None:
    with Shelf.open(tmp_path, write=True) as shelf:
        shelf.notebook.wants.put(Want("w1", "Orvany", "5 tor", 1893))
    (tmp_path / "shelf.db").unlink()
    with pytest.raises(ShelfTorn, match=r"missing beside a notebook that holds 1 wants\. Nothing was changed\."):
        Shelf.open(tmp_path, write=write)
    assert not (tmp_path / "shelf.db").exists()
    (tmp_path / "notebook.json").unlink()
    Shelf.open(tmp_path, write=write).close()


def test_a_backup_with_a_file_of_another_name_is_damaged(shelf: Path, tmp_path: Path) -> None:
    target = backup(shelf, tmp_path / "b.zip")
    with zipfile.ZipFile(target, "a") as file:
        file.writestr("watchlist.jsom", "{}")
    with pytest.raises(ShelfTorn, match=r"no name of a shelf.*Nothing was changed"):
        restore(target, tmp_path / "new")
    assert not (tmp_path / "new" / "shelf.db").exists()
