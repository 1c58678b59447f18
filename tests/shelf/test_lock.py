"""The writer's lock, and what stands in its way."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.shelf.pieces import is_a_sentence
from watchlist.shelf import lock
from watchlist.shelf.errors import ShelfLocked, ShelfRefused
from watchlist.shelf.lock import WriterLock


def test_it_is_free_again_and_may_be_freed_twice(tmp_path: Path) -> None:
    first, second = WriterLock(tmp_path / "lock"), WriterLock(tmp_path / "lock")
    first.take()
    with pytest.raises(ShelfLocked):
        second.take()
    first.free()
    first.free()
    second.take()
    second.free()


def test_a_folder_that_is_not_there_is_named(tmp_path: Path) -> None:
    with pytest.raises(ShelfRefused, match="check the permissions") as caught:
        WriterLock(tmp_path / "none" / "lock").take()
    is_a_sentence(caught.value, str(tmp_path / "none"))


def test_a_disk_without_locks_is_told(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def no_locks(handle: int) -> None:
        raise OSError(37, "No locks available")

    monkeypatch.setattr(lock, "_grab", no_locks)
    with pytest.raises(ShelfRefused, match="knows no locks") as caught:
        WriterLock(tmp_path / "lock").take()
    is_a_sentence(caught.value)
