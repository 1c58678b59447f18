"""A shelf that two accounts share by their group: its rights, its lock, network drives."""

from __future__ import annotations

import os
import re
import stat
from pathlib import Path

import pytest

from watchlist.shelf.errors import ShelfLocked, ShelfRefused
from watchlist.shelf.folder import BACKUPS, LOCK, NOTEBOOK, SETTINGS, STORE, share
from watchlist.shelf.private import FILE, FOLDER, SHARED_FILE, SHARED_FOLDER
from watchlist.shelf.shelf import Shelf


def rights(path: Path) -> int:
    return stat.S_IMODE(path.stat().st_mode)


@pytest.fixture
def shelf(tmp_path: Path) -> Path:
    folder = tmp_path / "shelf"
    folder.mkdir()
    (folder / SETTINGS).write_text("[home]\nshared = true\n", "utf-8")
    return folder


def test_a_shared_shelf_is_open_to_its_group_and_to_nobody_else(shelf: Path) -> None:
    mask = os.umask(0o077)  # the strictest account
    try:
        with Shelf.open(shelf, write=True) as opened:
            opened.notebook.corrections.put({"id": "c1"})
            opened.notebook.corrections.put({"id": "c2"})  # the second write keeps a copy of the first
            assert opened.who
        Shelf.open(shelf, write=True).close()
    finally:
        os.umask(mask)
    assert rights(shelf) == rights(shelf / "copies") == SHARED_FOLDER
    for name in (STORE, NOTEBOOK, SETTINGS, LOCK):
        assert rights(shelf / name) == SHARED_FILE, name
    assert {rights(file) for file in (shelf / "copies").iterdir()} == {SHARED_FILE}
    (shelf / SETTINGS).write_text("", "utf-8")
    with Shelf.open(shelf, write=True) as opened:
        assert opened.who == ""
    assert (rights(shelf), rights(shelf / STORE), rights(shelf / "copies")) == (FOLDER, FILE, FOLDER)
    assert not (shelf / BACKUPS).exists()


def test_who_writes_and_since_when_is_told_to_the_other(shelf: Path) -> None:
    (shelf / SETTINGS).write_text('[home]\nshared = true\nwho = "Anna"\n', "utf-8")
    since = r"since \w{3} \d+ \w{3} \d\d:\d\d"
    with Shelf.open(shelf, write=True), pytest.raises(ShelfLocked) as caught:
        Shelf.open(shelf, write=True)
    assert re.search(rf"\(pid {os.getpid()}, Anna, {since}\)", str(caught.value))


@pytest.mark.parametrize("kind", ["nfs4", "cifs", "fuse.sshfs"])
def test_a_network_drive_is_refused_with_the_reason(tmp_path: Path, kind: str) -> None:
    mounts, far = tmp_path / "mounts", tmp_path / "far away"
    far.mkdir()
    place = str(far).replace(" ", r"\040")
    mounts.write_text(f"disk / ext4 rw 0 0\nhost:/x {place} {kind} rw 0 0\n", "utf-8")
    with pytest.raises(ShelfRefused, match=rf"network drive \({kind}\).*keep a shared shelf on a disk of this machine"):
        share(far, mounts)
    assert rights(far) != SHARED_FOLDER
    share(tmp_path, mounts)
    assert rights(tmp_path) == SHARED_FOLDER


def test_a_folder_whose_rights_cannot_be_set_says_what_to_do(shelf: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(Path, "chmod", lambda *_: None)  # a system that leaves the rights as they are
    with pytest.raises(ShelfRefused, match=r"chgrp GROUP .*chmod 2770"):
        Shelf.open(shelf, write=False)


def test_a_share_of_another_machine_is_refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(Path, "resolve", lambda *_: r"\\box\coins")  # as Windows names one
    with pytest.raises(ShelfRefused, match="a share of another machine"):
        share(tmp_path)


def test_an_account_without_a_name_is_told_by_its_number(shelf: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def nobody() -> str:
        raise KeyError("no such account")

    monkeypatch.setattr("getpass.getuser", nobody)
    with Shelf.open(shelf, write=True) as opened:
        assert opened.who == f"account {os.getuid()}"
