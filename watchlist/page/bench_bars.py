"""The pictures of a check in the hand, in plain letters: a figure on its limits, a density on the line of alloys, the
piece among one's own genuine ones."""

from __future__ import annotations

from watchlist.core.bench.check import Beside, Bounds
from watchlist.core.bench.density import DensityVerdict

RULER = 44
"""Cells of a bar, ends included."""
CROWD = " .:#"
"""How many of one's own pieces share a cell: none, one, two or three, more."""


class Rule:
    """A straight scale over some cells."""

    def __init__(self, low: float, high: float, cells: int = RULER) -> None:
        room = (high - low) * 0.08 or 1.0
        self.low, self.high, self._cells = low - room, high + room, cells

    def share(self, value: float) -> float:
        """How far along a value lies, 0 to 1; its ends for what lies beyond."""
        return min(max((value - self.low) / (self.high - self.low), 0.0), 1.0)

    def cell(self, value: float) -> int:
        """The cell of a value."""
        return round(self.share(value) * (self._cells - 1))


def bound_bar(bound: Bounds) -> list[str]:
    """The measurement on its tolerance: `[` low, `]` high, `X` the piece. Nothing without limits."""
    if bound.low is None or bound.high is None:
        return []
    rule = Rule(min(bound.low, bound.value), max(bound.high, bound.value))
    row = [" "] * RULER
    low, high = rule.cell(bound.low), rule.cell(bound.high)
    row[low : high + 1] = "=" * (high - low + 1)
    row[low], row[high] = "[", "]"
    row[rule.cell(bound.value)] = "X"
    return [f"{bound.low:>7.2f} {''.join(row)} {bound.high:.2f}"]


def density_bar(found: DensityVerdict) -> list[str]:
    """The reading on the line of alloys: `-` how unsure, `X` the piece, `o` the alloy expected."""
    seen, expected = found.found, found.expected
    rule = density_rule(found)
    row = ["."] * RULER
    low, high = rule.cell(seen.value - seen.u), rule.cell(seen.value + seen.u)
    row[low : high + 1] = "-" * (high - low + 1)
    if expected:
        row[rule.cell(expected.density)] = "o"
    row[rule.cell(seen.value)] = "X"
    key = f"X this piece{f', o {expected.name}' if expected else ''}, - how unsure"
    return [f"{rule.low:>7.2f} {''.join(row)} {rule.high:.2f}", f"{'':7} {key}"]


def density_rule(found: DensityVerdict) -> Rule:
    """A scale that holds the reading, how unsure it is, and the alloy expected."""
    seen, expected = found.found, found.expected
    ends = [seen.value - seen.u, seen.value + seen.u, *([expected.density] if expected else [])]
    room = max((max(ends) - min(ends)) / 4, 0.5)
    return Rule(min(ends) - room, max(ends) + room)


def beside_bar(beside: Beside) -> list[str]:
    """The piece `X` among one's own genuine ones: `.` one of them, `:` two or three, `#` more."""
    rule = Rule(min(*beside.others, beside.value), max(*beside.others, beside.value))
    counts = [0] * RULER
    for other in beside.others:
        counts[rule.cell(other)] += 1
    row = [CROWD[0 if not n else 1 if n == 1 else 2 if n <= 3 else 3] for n in counts]
    row[rule.cell(beside.value)] = "X"
    return [f"{rule.low:>7.2f} {''.join(row)} {rule.high:.2f} {beside.unit}"]
