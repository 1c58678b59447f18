"""What the letters and signs of lists mean, in one place."""

from __future__ import annotations

from collections.abc import Mapping

from watchlist.core.marks.record import SIGNS
from watchlist.page.columns import cells

WORDS: Mapping[str, str] = {"in range": "in range or early", "few sales": "few sales"}
"""Marks that a legend calls something else."""
STATES = "* new, f followed, x skipped, b bid, w won, l lost, e ended"
PRICES = "Prices all in; so far: current bid, may rise; gap: against the median, as a rule both before postage."


def marks() -> str:
    """`C copy, ! doubt, ...`, in the order in which they outrank each other."""
    return ", ".join(f"{sign} {WORDS.get(mark, mark)}" for mark, sign in SIGNS.items())


def whole() -> str:
    """Marks, states and what prices mean."""
    return f"{marks()}; {STATES}. {PRICES}"


BRIEF: Mapping[str, str] = {"above ceiling": "above"}
"""Marks in a line that has little room."""


def short(width: int) -> str:
    """The marks in one line of so many cells, closer together where it is narrow; else the last are left out."""
    parts = [f"{sign} {BRIEF.get(mark, mark)}" for mark, sign in SIGNS.items()]
    gap = "  " if cells("  ".join(parts)) < width else " "
    while parts and cells(gap.join(parts)) >= width:
        parts.pop()
    return f" {gap.join(parts)}" if parts else ""
