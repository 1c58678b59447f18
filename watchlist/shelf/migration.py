"""From the schema of a kept file to that of this program: step by step, after the whole shelf was backed up."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Protocol, TypeVar

from watchlist.shelf.errors import ShelfNewer, ShelfRefused

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

    def climb(self, steps: Sequence[Callable[[T_co], None]], schema: int) -> None:
        """Take the steps and note the schema: all of it, or nothing."""


Keep = Callable[[], str]
"""Backs the shelf up as it is, and says where. What it raises stops the change."""


def not_kept() -> str:
    """The keep of a file that is no part of a shelf: it stays in its schema."""
    raise ShelfRefused("A file that is not opened as a part of its shelf keeps its schema. Nothing was changed.")


def fit(file: Versioned[T], steps: Sequence[Callable[[T], None]], *, write: bool, keep: Keep = not_kept) -> list[str]:
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
    kept = keep()
    file.climb(steps[theirs - 1 :], ours)
    return [f"{name} was brought to a new schema; the whole shelf as it was is kept in {kept}."]
