"""Grade cells: numbers, ranges and words of eight national scales to a range of the 70-point scale."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from watchlist.core.coins.finishes import UNNUMBERED
from watchlist.core.coins.grades import read_grade
from watchlist.core.folding import any_of
from watchlist.core.imports.cells import quoted
from watchlist.core.imports.context import Context
from watchlist.core.imports.record import CellError
from watchlist.core.reading.choice.gradecells import NATIONAL, graded
from watchlist.core.tables import once

LOWEST, HIGHEST = 1, 70


@dataclass(frozen=True, slots=True)
class Grade:
    """A grade cell read."""

    low: int
    high: int
    details: bool = False


def grade(text: str, country: str, denomination: str, context: Context) -> Grade:
    """The range a grade cell means, in the scale of the row's coinage as in a title; raises CellError."""
    key = f"grade {country}\0{denomination}"
    found = context.once(key, text, lambda _: _grade(text.strip(), country, denomination, context))
    if found is None:
        why = "" if LOWEST <= _number(text) <= HIGHEST or not NATIONAL.fullmatch(text.strip()) else NATIONAL_ONLY
        raise CellError(f"{quoted(text)} is not a known grade{why}")
    return found


NATIONAL_ONLY = ": it is a figure of a national scale, and the coin's coinage is not known to use one"


@once
def _numbers(grades: Mapping[str, Any]) -> re.Pattern[str]:
    """`40`, `40-55`, `40 bis 55`."""
    return re.compile(rf"(\d{{1,2}})(?:\s*(?:-|–|/|{any_of(grades['to'])})\s*(\d{{1,2}}))?", re.ASCII)


def is_range(text: str, context: Context) -> bool:
    """`40-55`: two numbers."""
    found = _numbers(context.words["grades"]).fullmatch(text.strip())
    return found is not None and found[2] is not None and not NATIONAL.fullmatch(text.strip())


def _number(text: str) -> int:
    return int(text) if text.isdecimal() and not text.startswith("0") else 0


def _grade(text: str, country: str, denomination: str, context: Context) -> Grade | None:
    figures, national = _numbers(context.words["grades"]).fullmatch(text), NATIONAL.fullmatch(text)
    if (national or not figures) and (made := _of_coinage(text, country, denomination, context)):
        return made
    if figures and not text.startswith("0"):
        low, high = int(figures[1]), int(figures[2] or figures[1])
        return Grade(low, high) if LOWEST <= low <= high <= HIGHEST else None
    return None if national else _of_words(text, country, context)


def _of_coinage(text: str, country: str, denomination: str, context: Context) -> Grade | None:
    """As a title of that coinage has it: `1+` is a figure of some national scales."""
    made = graded(context.reader.read, country, denomination, text)
    if made is None or made.grade_low is None or made.grade_high is None:
        return None
    return Grade(made.grade_low, made.grade_high, "details" in made.problems)


def _of_words(text: str, country: str, context: Context) -> Grade | None:
    read = read_grade(text, country or None, context.words)
    if read is None:
        return None
    if read.low is None or read.high is None:
        return Grade(*UNNUMBERED) if read.proof else None
    return Grade(read.low, read.high, read.details)
