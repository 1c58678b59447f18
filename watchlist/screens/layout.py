"""How a window is laid out by its size."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal, get_args

from watchlist.page.columns import cells, wrap
from watchlist.screens.looks import Paint, ink

Shape = Literal["none", "short", "normal", "wide", "rich"]
SHAPES: tuple[Shape, ...] = get_args(Shape)
PANE = 70
"""Cells of the pane beside a list."""


def shape(width: int, height: int) -> Shape:
    """The layout for a window of this size."""
    if width < 20 or height < 5:
        return "none"
    if width < 60 or height < 16:
        return "short"
    if width < 120 or height < 30:
        return "normal"
    return "rich" if width >= 140 and height >= 40 else "wide"


TALL = 24
"""Lines from which on a screen has room for the names of all screens."""


def has_room(shape: Shape, height: int) -> bool:
    """A line can be spared for the names of all screens."""
    return shape not in ("none", "short") and height >= TALL


def too_small(width: int, height: int) -> Sequence[Paint]:
    """What a window says that shows nothing else."""
    return ink(wrap(f"Needs 20x5, has {width}x{height}", max(width, 1)))


def keys_line(parts: Sequence[str], width: int) -> str:
    """As many of these as fit whole, two blanks apart."""
    line = ""
    for part in parts:
        longer = f"{line}  {part}" if line else f" {part}"
        line = longer if cells(longer) <= width else line
    return line
