"""A line with more cells than headings: the cells that stand where they belong, however the rest is read."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass

WHOLE, CENTS = re.compile(r"\d{1,9}", re.ASCII), re.compile(r"\d{2}", re.ASCII)
MOST = 200
"""Cells too many with which a line is still looked at."""


@dataclass(frozen=True, slots=True)
class Widths:
    """What may stand in each column of a file."""

    tests: Mapping[int, Callable[[str], object]]
    """By the number of a column of something definite, such as amounts or dates, whether a cell is one."""
    texts: Sequence[int]
    """Columns of free text, in which the separator may stand without quotation marks."""
    width: int
    separator: str

    def fitted(self, cells: Sequence[str]) -> list[str] | None:
        """The cells on which every likely reading of the line agrees, of texts as much as they agree on, the others
        empty; None where none is likely."""
        if len(cells) - self.width > MOST:
            return None
        likely = [line for line in self._ways(cells) if self._is_likely(line)]
        if not likely:
            return None
        return [self._agreed(at, column) for at, column in enumerate(zip(*likely, strict=True))]

    def _agreed(self, at: int, readings: Sequence[str]) -> str:
        shortest = min(readings, key=len)
        same = all(each == shortest for each in readings)
        return shortest if same or (at in self.texts and all(each.startswith(shortest) for each in readings)) else ""

    def _ways(self, cells: Sequence[str]) -> Iterator[list[str]]:
        """The last cells are too many, or one text, or one amount, was cut at separators."""
        over = len(cells) - self.width
        yield list(cells[: self.width])
        cut = range(self.width) if over == 1 and self.separator == "," else ()
        amounts = [at for at in cut if WHOLE.fullmatch(cells[at]) and CENTS.fullmatch(cells[at + 1])]
        for at in sorted({*self.texts, *amounts}):
            mark = self.separator if at in amounts else f"{self.separator} "
            yield [*cells[:at], mark.join(filter(None, cells[at : at + over + 1])), *cells[at + over + 1 :]]

    def _is_likely(self, cells: Sequence[str]) -> bool:
        return all(not cells[at] or (len(cells[at]) <= 120 and test(cells[at])) for at, test in self.tests.items())
