"""Grade cells: numbers, ranges and words of eight national scales to a range of the 70-point scale."""

from __future__ import annotations

import re
from dataclasses import dataclass

from watchlist.core.coins.grades import read_grade
from watchlist.core.imports.cells import CellError, quoted
from watchlist.core.imports.context import Context

NUMBER = re.compile(r"(\d{1,2})(?:\s*(?:-|–|/|to|bis|à|a|tot)\s*(\d{1,2}))?", re.ASCII)
LOWEST, HIGHEST = 1, 70
PROOF = (60, 70)
"""A proof without a number."""


@dataclass(frozen=True, slots=True)
class Grade:
    """A grade cell read."""

    low: int
    high: int
    details: bool = False


def grade(text: str, country: str, context: Context) -> Grade:
    """The range a grade cell means, by the scale of the coin's country where the words alone do not say; raises
    CellError."""
    found: Grade | None = context.once(f"grade {country}", text, lambda _: _grade(text, country, context))
    if found is None:
        raise CellError(f"{quoted(text)} is no grade known here")
    return found


def _grade(text: str, country: str, context: Context) -> Grade | None:
    if figures := NUMBER.fullmatch(text.strip()):
        low, high = int(figures[1]), int(figures[2] or figures[1])
        return Grade(low, high) if LOWEST <= low <= high <= HIGHEST else None
    read = read_grade(text, country or None, context.words)
    if read is None:
        return None
    if read.low is None or read.high is None:
        return Grade(*PROOF) if read.proof else None
    return Grade(read.low, read.high, read.details)
