"""The pictures of a check in the hand: a figure on its limits, a density on the line of alloys, the
piece among one's own genuine ones."""

from __future__ import annotations

from watchlist.core.bench.check import Beside, Bounds
from watchlist.core.bench.density import DensityVerdict
from watchlist.page.drawing import ASCII, Alphabet, bar

RULER = 44
"""Cells of a bar, ends included."""


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


def bound_bar(bound: Bounds, draw: Alphabet = ASCII) -> list[str]:
    """The measurement on its tolerance, with the legend. Nothing without limits."""
    if bound.low is None or bound.high is None:
        return []
    rule = Rule(min(bound.low, bound.value), max(bound.high, bound.value))
    low, high, piece = (rule.cell(value) for value in (bound.low, bound.high, bound.value))
    ends = ((low, high, draw.fill), (low, low, draw.low), (high, high, draw.high), (piece, piece, draw.lot))
    key = draw.key(lot="this piece", low="least allowed", high="most")
    return [f"{rule.low:>7.2f} {''.join(bar(RULER, ends))} {rule.high:.2f}", f"{'':7} {key}"]


def density_bar(found: DensityVerdict, draw: Alphabet = ASCII) -> list[str]:
    """The reading on the line of alloys: how unsure, the piece, the alloy expected; the legend below."""
    seen, expected = found.found, found.expected
    rule = density_rule(found)
    low, high, piece = (rule.cell(value) for value in (seen.value - seen.u, seen.value + seen.u, seen.value))
    marks = [(0, RULER - 1, draw.edge), (low, high, draw.line)]
    if expected:
        marks.append((rule.cell(expected.density), rule.cell(expected.density), draw.expected))
    row = bar(RULER, [*marks, (piece, piece, draw.lot)])
    key = draw.key(lot="this piece", **({"expected": expected.name} if expected else {}), line="how unsure")
    return [f"{rule.low:>7.2f} {''.join(row)} {rule.high:.2f}", f"{'':7} {key}"]


def density_rule(found: DensityVerdict) -> Rule:
    """A scale that holds the reading, how unsure it is, and the alloy expected."""
    seen, expected = found.found, found.expected
    ends = [seen.value - seen.u, seen.value + seen.u, *([expected.density] if expected else [])]
    room = max((max(ends) - min(ends)) / 4, 0.5)
    return Rule(min(ends) - room, max(ends) + room)


def beside_bar(beside: Beside, draw: Alphabet = ASCII) -> list[str]:
    """The piece among one's own genuine ones, the fuller a cell the more of them; the legend below."""
    rule = Rule(min(*beside.others, beside.value), max(*beside.others, beside.value))
    counts = [0] * RULER
    for other in beside.others:
        counts[rule.cell(other)] += 1
    none, one, few, many = tuple(draw.crowd)
    row = [none if not n else one if n == 1 else few if n <= 3 else many for n in counts]
    row[rule.cell(beside.value)] = draw.lot
    key = f"{draw.key(lot='this piece')}  {one} one of your own  {few} two or three  {many} more"
    return [f"{rule.low:>7.2f} {''.join(row)} {rule.high:.2f} {beside.unit}", f"{'':7} {key}"]
