"""Text to rows of cells: which mark separates the cells, and where a lone quote would swallow the rows below it."""

from __future__ import annotations

import csv
import re
from array import array
from collections.abc import Callable, Iterator, Mapping, Sequence
from typing import overload

from watchlist.core.imports.headings import count_known

SEPARATORS = (",", ";", "\t", "|")
SAID = re.compile(r"\s*sep=([,;\t|])\s*", re.IGNORECASE)
"""A spreadsheet's own first line."""
SAMPLE = 4096
"""Letters that decide the separator: the csv module's own sniffer takes seconds, and may choose a letter."""
LOOK_FOR_HEADINGS = 12
"""First lines with something on them; one of them holds the headings."""
COLUMN_CAP = 1_000
LONE_QUOTES = 50
"""After so many, every further line is read on its own: each costs a look at all that it would swallow."""
Record = tuple[int, list[str]]
"""Line where a row begins, and its cells."""


class Lines(Sequence[str]):
    """The lines of a text, cut off it when they are asked for: a list of them would take as much again."""

    def __init__(self, text: str, skip: int = 0) -> None:
        self._text, self._skip = text, skip
        self._starts = array("Q", [0])
        self._starts.extend(found.end() for found in re.finditer("\n", text))
        self._starts.append(len(text) + 1)

    def __len__(self) -> int:
        return len(self._starts) - 1

    @overload
    def __getitem__(self, at: int) -> str: ...

    @overload
    def __getitem__(self, at: slice) -> list[str]: ...

    def __getitem__(self, at: int | slice) -> str | list[str]:
        if isinstance(at, slice):
            return [self[number] for number in range(*at.indices(len(self)))]
        return self._text[self._starts[at] : self._starts[at + 1] - 1] if at >= self._skip else ""


def find_separator(text: str, known: Mapping[str, tuple[str, ...]]) -> tuple[str, Lines]:
    """The separator, decided on the first 4 kB, and the lines. A first line `sep=;` says it outright."""
    text = text.replace("\0", "").replace("\r\n", "\n").replace("\r", "\n")
    if said := SAID.fullmatch(text.partition("\n")[0]):
        return said[1], Lines(text, skip=1)
    lines, sample = Lines(text), [line for line in text[:SAMPLE].splitlines() if line.strip()]
    if len(text) > SAMPLE and len(sample) > 1:
        sample.pop()  # cut off in the middle
    return max(SEPARATORS, key=lambda mark: _likely(mark, sample, known)), lines


def _likely(mark: str, sample: Sequence[str], known: Mapping[str, tuple[str, ...]]) -> tuple[int, bool, float, int]:
    """How well a separator fits: headings known, then how many lines have as many cells as the headings."""
    split = [_alone(line, mark) for line in sample]
    best, width = 0, len(split[0]) if split else 1
    for cells in split[:LOOK_FOR_HEADINGS]:
        if (found := count_known(cells[:COLUMN_CAP], known)) > best:
            best, width = found, len(cells)
    share = sum(1 for cells in split if len(cells) == width) / max(1, len(split))
    return best, width > 1 and share >= 0.6, share, width


def records(lines: Sequence[str], mark: str, bad_quote: Callable[[int], None]) -> Iterator[Record]:
    """Rows by RFC 4180. A quote that swallows further rows is found out, and its line read on its own.

    `bad_quote` is told each line where a quote is opened and not closed.
    """
    at = broken = width = 0
    while at < len(lines) and broken < LONE_QUOTES:
        try:
            for line, after, cells in _rows(lines, at, mark, width):
                yield line, cells
                at, width = after, _marks(cells) or width
            return
        except csv.Error:
            broken += 1
            if lines[at].count('"') % 2:
                bad_quote(at + 1)
            yield at + 1, _alone(lines[at], mark)
            at += 1
    for number in range(at, len(lines)):
        yield number + 1, _alone(lines[number], mark)


def _rows(lines: Sequence[str], first: int, mark: str, width: int) -> Iterator[tuple[int, int, list[str]]]:
    """Rows from the `first` line on: the number of its line, the lines read after it, its cells.

    Raises csv.Error at a lone quote, as the csv module does where a quoted cell grows past 131,072 characters.
    """
    ends = (lines[number] + "\n" for number in range(first, len(lines)))
    reader = csv.reader(ends, delimiter=mark, strict=True, skipinitialspace=True)
    start = first
    for cells in reader:
        after = first + reader.line_num
        if after - start > 1 and _swallowed(lines[start:after], mark, width):
            raise csv.Error("a lone quote")
        width = _marks(cells) or width
        yield start + 1, after, cells
        start = after


def _marks(cells: Sequence[str]) -> int:
    """Marks between the cells of a row."""
    return max(len(cells) - 1, 0)


def _swallowed(lines: Sequence[str], mark: str, width: int) -> bool:
    """Whether a row over several lines is really several rows: each line alone has the cells of the row before."""
    widths = {line.count(mark) for line in lines}
    return len(widths) == 1 and 0 not in widths and (not width or width in widths)


def _alone(line: str, mark: str) -> list[str]:
    """Cells of one line; when its quotes do not pair off they are plain letters."""
    if line.count('"') % 2 == 0:
        try:
            return next(csv.reader((line,), delimiter=mark, skipinitialspace=True), [])
        except csv.Error:  # a cell over 131,072 characters
            pass
    cells = (cell.strip() for cell in line.split(mark))
    return [cell[1:-1] if len(cell) > 1 and cell[0] == cell[-1] == '"' else cell for cell in cells]
