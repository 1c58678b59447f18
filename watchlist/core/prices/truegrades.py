"""What a piece may truly be: the grades a title allows, the steps it may fall short, the problems it may have."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from math import log
from typing import Any

Header = Mapping[str, Any]
Row = Mapping[str, Any]

IN_USE = (1, 2, 3, 4, 6, 8, 10, 12, 15, 20, 25, 30, 35, 40, 45, 50, 53, 55, 58, *range(60, 71))
"""The numbers of the 70-point scale that are in use (common practice)."""

SHORT_STEPS = (0, 1, 2)
"""Steps a raw piece may fall short of the grade named."""

HIDDEN = (0.04, log(0.55), 0.35)
"""A raw piece may hide a problem: chance, effect on log price, and its spread."""

FEW_SEEN = 2.0
"""How many sales the usual frequency of a grade counts for, against what was sold."""

UNNAMED = (log(0.55), 0.35)
"""Effect and spread of a problem the market state does not know."""


def grade_weights(
    header: Header, grade_low: float, grade_high: float, raw: bool, venue_kind: str = ""
) -> list[tuple[float, float]]:
    """The grades a lot may truly have, each with its chance."""
    low, high = min(grade_low, grade_high), max(grade_low, grade_high)
    named = _named(header, low, high)
    if not raw:
        return list(named.items())
    shares = header["short"].get(venue_kind) or header["short"][""]
    chances: dict[float, float] = {}
    for grade, chance in named.items():
        for steps, share in enumerate(shares):
            true = steps_below(grade, steps)
            chances[true] = chances.get(true, 0.0) + share * chance
    return list(chances.items())


def _named(header: Header, low: float, high: float) -> dict[float, float]:
    """The numbers that a grade or range names, by how often each is met: a range of mint state is mostly its foot."""
    if low == high:
        return {low: 1.0}
    sold: Mapping[str, int] = header.get("named", {})
    met = {float(g): sold.get(str(g), 0) + FEW_SEEN * _rarity(g) for g in IN_USE if low <= g <= high}
    whole = sum(met.values())
    return {grade: weight / whole for grade, weight in met.items()} or {(low + high) / 2: 1.0}


def _rarity(grade: int) -> float:
    """Where few sales tell: each number above 63 is met half as often as the one below (common practice)."""
    return float(0.5 ** max(grade - 63, 0))


def steps_below(grade: float, steps: int) -> float:
    """The number in use so many steps under a grade."""
    for _ in range(steps):
        grade = next((g for g in reversed(IN_USE) if g < grade), grade)
    return grade


def problem_effect(header: Header, problems: Sequence[str]) -> tuple[float, float]:
    """Effect of the worst problem on log price, and how unsure it is; others beside it add a third of theirs."""
    if not problems:
        return 0.0, 0.0
    known = header["problems"]
    found = sorted(tuple(known.get(kind, UNNAMED)) for kind in set(problems))
    return found[0][0] + 0.3 * sum(effect for effect, _ in found[1:]), found[0][1]
