"""From schema to schema, with a file that is a number in memory."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path

import pytest

from watchlist.shelf.errors import ShelfNewer, ShelfRefused
from watchlist.shelf.migration import fit

Step = Callable[[list[str]], None]


class Pages:
    """A file of lines that says its schema in a number beside them."""

    def __init__(self, path: Path, schema: int) -> None:
        self.path, self.number = path, schema
        self.lines = ["kept"]

    def schema(self) -> int:
        return self.number

    def make(self, schema: int) -> None:
        self.lines, self.number = ["new"], schema

    def climb(self, steps: Sequence[Step], schema: int) -> None:
        lines = list(self.lines)
        for step in steps:
            step(lines)
        self.lines, self.number = lines, schema


def second(lines: list[str]) -> None:
    lines.append("second")


def third(lines: list[str]) -> None:
    lines.append("third")


STEPS = (second, third)


def test_an_older_file_takes_the_steps_it_lacks_after_a_backup(tmp_path: Path) -> None:
    pages = Pages(tmp_path / "pages.txt", 2)

    def keep() -> str:
        assert (pages.number, pages.lines) == (2, ["kept"])
        return "backups/before.zip"

    (notice,) = fit(pages, STEPS, write=True, keep=keep)
    assert notice == ("pages.txt was brought to a new schema; the whole shelf as it was is kept in backups/before.zip.")
    assert (pages.number, pages.lines) == (3, ["kept", "third"])
    assert fit(pages, STEPS, write=True) == []


def test_without_a_backup_an_older_file_stays_as_it_is(tmp_path: Path) -> None:
    pages = Pages(tmp_path / "pages.txt", 1)
    with pytest.raises(ShelfRefused, match="keeps its schema"):
        fit(pages, STEPS, write=True)
    assert (pages.number, pages.lines) == (1, ["kept"])


def test_a_reader_leaves_an_older_or_missing_file_as_it_is(tmp_path: Path) -> None:
    for schema in (0, 1):
        pages = Pages(tmp_path / "pages.txt", schema)
        assert fit(pages, STEPS, write=False) == []
        assert (pages.number, pages.lines) == (schema, ["kept"])


def test_a_missing_file_is_made(tmp_path: Path) -> None:
    pages = Pages(tmp_path / "pages.txt", 0)
    assert fit(pages, STEPS, write=True) == []
    assert (pages.number, pages.lines) == (3, ["new"])


def test_a_newer_file_is_only_read(tmp_path: Path) -> None:
    pages = Pages(tmp_path / "pages.txt", 4)
    assert fit(pages, STEPS, write=False) == ["pages.txt has schema 4, this program knows 3: reading only."]
    with pytest.raises(ShelfNewer, match=r"schema 4, this program knows 3\. It can be read, not written\."):
        fit(pages, STEPS, write=True)


def test_a_step_that_fails_leaves_the_older_file(tmp_path: Path) -> None:
    def fail(lines: list[str]) -> None:
        lines.clear()
        raise KeyError

    pages = Pages(tmp_path / "pages.txt", 1)
    with pytest.raises(KeyError):
        fit(pages, (second, fail), write=True, keep=str)
    assert (pages.number, pages.lines) == (1, ["kept"])
