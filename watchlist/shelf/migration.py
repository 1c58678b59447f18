"""From the schema of a kept file to that of this program: step by step, after a copy was made."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Protocol, TypeVar

from watchlist.shelf.copies import free_name
from watchlist.shelf.errors import ShelfNewer
from watchlist.shelf.private import make_folder

T = TypeVar("T")
T_co = TypeVar("T_co", covariant=True)


class Versioned(Protocol[T_co]):
    """A file that says which schema it has. Its steps change a T in place."""

    @property
    def path(self) -> Path:
        """Where it lies."""

    def schema(self) -> int:
        """Its schema; 0 when it is still to be made. ShelfTorn when the file is not ours."""

    def make(self, schema: int) -> None:
        """Put the empty file there."""

    def copy_to(self, target: Path) -> None:
        """A whole copy of it."""

    def climb(self, steps: Sequence[Callable[[T_co], None]], schema: int) -> None:
        """Take the steps and note the schema: all of it, or nothing."""


def fit(file: Versioned[T], steps: Sequence[Callable[[T], None]], *, write: bool) -> list[str]:
    """Make the file, or bring it to the schema of this program; the sentences that a person has to read.

    Step n leads from schema n to n + 1, so the schema of this program is one more than their number. A newer file is
    only read: ShelfNewer when it was to be written."""
    theirs, ours, name = file.schema(), len(steps) + 1, file.path.name
    if theirs > ours:
        known = f"{name} has schema {theirs}, this program knows {ours}"
        if write:
            raise ShelfNewer(f"{known}. It can be read, not written.")
        return [f"{known}: reading only."]
    if theirs == ours or not write:
        return []
    if theirs == 0:
        file.make(ours)
        return []
    before = free_name(file.path.parent / "copies" / f"{file.path.stem}-schema-{theirs}{file.path.suffix}")
    make_folder(before.parent)
    file.copy_to(before)
    file.climb(steps[theirs - 1 :], ours)
    return [f"{name} was brought to a new schema; the old one is copies/{before.name}."]
