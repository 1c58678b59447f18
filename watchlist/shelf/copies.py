"""Copies of a small file, in the folder `copies` beside it, and names that are not taken."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from pathlib import Path

from watchlist.shelf.disk import Disk, put_file
from watchlist.shelf.private import make_folder

COPIES_KEPT = 14


class Copies:
    """The file as it was before its last write, and before each day's first one; the newest days are kept."""

    def __init__(self, path: Path, disk: Disk, today: Callable[[], date]) -> None:
        self._path, self._disk, self._today = path, disk, today
        self._folder = path.parent / "copies"
        self._previous = self._named("previous")

    def keep(self, data: bytes) -> None:
        """Keep these bytes, which are about to be written over."""
        make_folder(self._folder)
        put_file(self._disk, self._previous, data)
        copy = self._named(f"{self._today():%Y-%m-%d}")
        if not copy.exists():
            put_file(self._disk, copy, data)
            for old in self._daily()[COPIES_KEPT:]:
                old.unlink(missing_ok=True)

    def newest_first(self) -> list[Path]:
        """Where copies may lie."""
        return [self._previous, *self._daily()]

    def _daily(self) -> list[Path]:
        pattern = self._named("[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]").name
        return sorted(self._folder.glob(pattern), reverse=True)

    def _named(self, when: str) -> Path:
        return self._folder / f"{self._path.stem}-{when}{self._path.suffix}"


def free_name(path: Path) -> Path:
    """This path, or with -2, -3 ... when it is taken."""
    number, name = 2, path
    while name.exists() or name.is_symlink():
        name = path.with_name(f"{path.stem}-{number}{path.suffix}")
        number += 1
    return name
