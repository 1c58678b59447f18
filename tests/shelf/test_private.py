"""Folders and files of the person's own, and links that nothing follows."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from watchlist.shelf.errors import ShelfRefused
from watchlist.shelf.private import FILE, FOLDER, close_to_others, create, make_folder, refuse_link


def rights(path: Path) -> int:
    return path.stat().st_mode & 0o777


def test_a_folder_is_the_persons_alone(tmp_path: Path) -> None:
    make_folder(tmp_path / "a" / "b", parents=True)
    assert rights(tmp_path / "a" / "b") == FOLDER
    make_folder(tmp_path / "a" / "b")


def test_a_folder_that_is_a_link_is_none(tmp_path: Path) -> None:
    (tmp_path / "theirs").mkdir()
    (tmp_path / "ours").symlink_to(tmp_path / "theirs")
    with pytest.raises(OSError, match="it is a link"):
        make_folder(tmp_path / "ours")


def test_a_new_file_takes_the_place_of_a_planted_link(tmp_path: Path) -> None:
    (tmp_path / "theirs").write_text("stays", "utf-8")
    (tmp_path / "draft").symlink_to(tmp_path / "theirs")
    os.close(create(tmp_path / "draft"))
    assert rights(tmp_path / "draft") == FILE
    assert not (tmp_path / "draft").is_symlink()
    assert (tmp_path / "theirs").read_text("utf-8") == "stays"


def test_what_was_open_to_others_is_closed_and_links_are_left(tmp_path: Path) -> None:
    for name in ("file", "theirs"):
        (tmp_path / name).write_text("", "utf-8")
        (tmp_path / name).chmod(0o644)
    (tmp_path / "folder").mkdir(mode=0o755)
    (tmp_path / "link").symlink_to(tmp_path / "theirs")
    close_to_others(tmp_path / "file", tmp_path / "folder", tmp_path / "link", tmp_path / "missing")
    assert (rights(tmp_path / "file"), rights(tmp_path / "folder")) == (FILE, FOLDER)
    assert rights(tmp_path / "theirs") == 0o644


def test_a_link_is_refused_by_name(tmp_path: Path) -> None:
    (tmp_path / "shelf.db").symlink_to(tmp_path / "theirs")
    with pytest.raises(ShelfRefused, match=r"shelf\.db is a link to .*theirs"):
        refuse_link(tmp_path / "shelf.db")
    refuse_link(tmp_path / "theirs")
