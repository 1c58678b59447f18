"""Which column names the coins of a list where no heading says so: the cells do, in any language."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence

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


def is_titled(taken: Mapping[str, int], seen: Sequence[Sequence[str]]) -> bool:
    """A column is known that names the coins; a description may hold nothing but remarks."""
    if "title" in taken or {"denomination", "year"} <= taken.keys():
        return True
    return "description" in taken and are_coins(seen[taken["description"]])


def title_by_cells(headings: Sequence[str], seen: Sequence[Sequence[str]], taken: dict[str, int]) -> str:
    """Take the column in which coins stand for the title; its heading, empty where there is none."""
    column = coin_column(seen)
    if column is None or coin_column([[heading] for heading in headings]) is not None:
        return ""  # in a list without headings the first line is a coin, too
    for name in [name for name, n in taken.items() if n == column]:
        del taken[name]
    taken["title"] = column
    return headings[column]


def _is_coin(cell: str) -> bool:
    told = cell[:LONGEST]
    return len(cell) <= LONGEST and not NO_COIN.search(told) and bool(YEAR.search(told) and WORD.search(told))
