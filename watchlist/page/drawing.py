"""What charts are drawn with: plain letters, or lines, blocks and dots where the terminal's encoding has them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import astuple, dataclass


@dataclass(frozen=True, slots=True)
class Alphabet:
    """The signs of all charts."""

    low: str
    fill: str
    """Between the ends of a band."""
    median: str
    high: str
    lot: str
    """The lot, or the piece on the bench."""
    sale: str
    expected: str
    """What a figure should be."""
    edge: str
    """Low and high along a curve."""
    line: str
    """The median along a curve; how unsure a figure is."""
    before: str
    """Money of earlier days."""
    now: str
    limit: str
    across: str
    """Axes."""
    up: str
    corner: str
    crowd: str
    """How many share a cell: none, one, two or three, more."""
    points: tuple[int, int] = (1, 1)
    """Points of a line in a cell, across and up."""

    def key(self, **signs: str) -> str:
        """The legend: `key(low="low", lot="this lot")` is `[ low  X this lot`."""
        return "  ".join(f"{getattr(self, sign)} {words}" for sign, words in signs.items())


ASCII = Alphabet("[", "=", "|", "]", "X", "o", "o", ".", "-", "=", "#", "|", "-", "|", "+", " .:#")
DRAWN = Alphabet("┣", "━", "╋", "┫", "◆", "●", "○", "⠂", "⠒", "▒", "█", "┃", "─", "│", "└", " ▂▅█", (2, 4))
"""The lines of its curves are dots, eight a cell (Unicode Standard, section 21.1: Braille)."""
DOTS = ((0x40, 0x04, 0x02, 0x01), (0x80, 0x20, 0x10, 0x08))
"""Bits of the dots of a cell: left and right, each from the foot up."""
BLANK = 0x2800
EDGE_STEP = 4
"""An edge is dotted: a point, and three left out."""


def alphabet_for(encoding: str) -> Alphabet:
    """The drawn signs where an encoding has them all, else plain letters."""
    try:
        "".join(map(str, astuple(DRAWN)[:-1])).encode(encoding)
    except (LookupError, UnicodeEncodeError):
        return ASCII
    return DRAWN


class Canvas:
    """Cells to draw on, measured in points of the alphabet; the lowest row is the first."""

    def __init__(self, across: int, rows: int, draw: Alphabet) -> None:
        self.across, self.rows, self._draw = across, rows, draw
        self.wide, self.high = across * draw.points[0], rows * draw.points[1]
        self._signs = [[" "] * across for _ in range(rows)]
        self._dots = [[0] * across for _ in range(rows)]

    def put(self, x: int, y: int, sign: str) -> None:
        """A sign in the cell that holds a point."""
        right, up = self._draw.points
        self._signs[y // up][x // right] = sign

    def point(self, x: int, y: int, sign: str) -> None:
        """A point of a line: a dot, or its sign where the alphabet has no dots."""
        right, up = self._draw.points
        if (right, up) == (1, 1):
            self.put(x, y, sign)
        elif sign != self._draw.edge or x % EDGE_STEP == 0:
            self._dots[y // up][x // right] |= DOTS[x % right][y % up]

    def lines(self) -> list[str]:
        """What was drawn, the highest row first; a sign stands over the dots of its cell."""
        rows = zip(reversed(self._signs), reversed(self._dots), strict=True)
        return ["".join(map(_cell, signs, dots)) for signs, dots in rows]

    def middle(self, row: int) -> float:
        """The point in the middle of a row of cells."""
        up = self._draw.points[1]
        return row * up + (up - 1) / 2


def _cell(sign: str, dots: int) -> str:
    return chr(BLANK + dots) if sign == " " and dots else sign


def bar(cells: int, marks: Sequence[tuple[int, int, str]]) -> list[str]:
    """A row of cells with each sign from one cell to another, both counted; a later one covers an earlier."""
    row = [" "] * cells
    for start, end, sign in marks:
        row[start : end + 1] = sign * (end - start + 1)
    return row
