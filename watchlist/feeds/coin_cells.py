"""Which column names the coins of a list where no heading says so: the cells do, in any language."""

from __future__ import annotations

import re
from collections.abc import Sequence

YEAR = re.compile(r"(?<![\d./-])[12]\d{3}(?![\d/]|[.-]\d)")
WORD = re.compile(r"[^\W\d_]{3}")
NO_COIN = re.compile(
    r"(?i)^(?:https?:|www\.)|^\W*(?:[^\W\d]+\.?,? )?\d{1,2}\.? (?:de )?[^\W\d]{3,}\.?,? (?:de )?20\d\d\b|\d:\d\d"
)
"""An address, a day, a time of the clock."""
LONGEST = 500
"""Characters of a cell that may still name one coin."""
MOSTLY = 0.6


def are_coins(cells: Sequence[str]) -> bool:
    """Most cells name a year beside a word."""
    return sum(map(_is_coin, cells)) > len(cells) * MOSTLY


def coin_column(columns: Sequence[Sequence[str]]) -> int | None:
    """The first of the columns that names coins; None where none does. A column is its filled cells."""
    return next((n for n, cells in enumerate(columns) if cells and are_coins(cells)), None)


def _is_coin(cell: str) -> bool:
    told = cell[:LONGEST]
    return len(cell) <= LONGEST and not NO_COIN.search(told) and bool(YEAR.search(told) and WORD.search(told))
