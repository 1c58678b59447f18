"""What a piece may truly be: the grades a title allows, the steps it may fall short, the problems it may have."""

from __future__ import annotations

from bisect import bisect_left
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
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

WORDED_LOWER = 0.25
"""Share of a raw piece's chances that a grade in words gives to the two named grades below it, before the archive says
more."""

LEAST_NAMED, SMALL = 60, 500
"""Sales that an archive needs before the grades it names stand for those in use; and up to which each named counts."""


@dataclass(frozen=True, slots=True)
class Asked:
    """What a market is asked about a piece, beside its issue. Grades are numbers of the 70-point scale."""

    grade_low: float
    grade_high: float
    raw: bool
    problems: tuple[str, ...] = ()
    venue_kind: str = ""
    worded: bool = False
    """The grade is a word or a range, not a number: a raw piece may then lie below all of it."""
    traits: tuple[str, ...] = ()
    """What else is said of it, as `colour:RD`."""
    short: tuple[float, ...] | None = None
    """Shares of 0, 1 and 2 steps of over-grading, where this seller's are known; else those of the kind of venue."""


def grade_weights(header: Header, asked: Asked) -> list[tuple[float, float]]:
    """The grades a lot may truly have, each with its chance."""
    low, high = sorted((asked.grade_low, asked.grade_high))
    named = _named(header, low, high)
    if not asked.raw:
        return list(named.items())
    steps = header.get("steps") or IN_USE
    if asked.worded:
        named = _with_lower(named, low, steps, _lower(header, asked.venue_kind))
    shares = asked.short or header["short"].get(asked.venue_kind) or header["short"][""]
    chances: dict[float, float] = {}
    for grade, chance in named.items():
        for step, share in enumerate(shares):
            true = steps_below(grade, step, steps)
            chances[true] = chances.get(true, 0.0) + share * chance
    return list(chances.items())


def _lower(header: Header, venue_kind: str) -> float:
    """How often a grade in words promises too much, by kind of venue."""
    shares: Mapping[str, float] = header.get("lower") or {}
    return shares.get(venue_kind, shares.get("", WORDED_LOWER))


def _with_lower(named: Mapping[float, float], low: float, steps: Sequence[float], lower: float) -> dict[float, float]:
    """The named grades with a share of the chances for the two named ones under the lowest."""
    found = {grade: chance * (1 - lower) for grade, chance in named.items()}
    for step in (1, 2):
        below = steps_below(low, step, steps)
        found[below] = found.get(below, 0.0) + lower / 2
    return found


def _named(header: Header, low: float, high: float) -> dict[float, float]:
    """The numbers that a grade or range names, by how often each is met: a range of mint state is mostly its foot."""
    if low == high:
        return {low: 1.0}
    sold: Mapping[str, int] = header.get("named", {})
    known = [grade for grade in header.get("steps") or () if low <= grade <= high]
    usual = known or [grade for grade in IN_USE if low <= grade <= high]
    met = {float(g): sold.get(str(int(g)), 0) + FEW_SEEN * _rarity(g) for g in usual}
    whole = sum(met.values())
    return {grade: weight / whole for grade, weight in met.items()} or {(low + high) / 2: 1.0}


def _rarity(grade: float) -> float:
    """Where few sales tell: each number above 63 is met half as often as the one below (common practice)."""
    return float(0.5 ** max(grade - 63, 0))


def steps_below(grade: float, count: int, steps: Sequence[float] = IN_USE) -> float:
    """The grade so many steps under another; a step is the next lower one of those named, none under the lowest.

    A grade between two named ones, such as the mean of a range, stays as far between after its steps."""
    if not count or grade <= steps[0]:
        return grade
    at = bisect_left(steps, grade)
    if at == len(steps) or steps[at] == grade or grade in IN_USE:
        return steps[max(at - count, 0)]
    share = (grade - steps[at - 1]) / (steps[at] - steps[at - 1])
    low, high = steps[max(at - 1 - count, 0)], steps[max(at - count, 0)]
    return low + share * (high - low)


def mean_named(low: float, high: float, met: Mapping[float, int]) -> float:
    """The grade that stands for a range: the mean of the numbers in it by how often each is named; its middle where
    none is."""
    inside = [(grade, times) for grade, times in met.items() if low <= grade <= high]
    whole = sum(times for _, times in inside)
    return sum(grade * times for grade, times in inside) / whole if whole else (low + high) / 2


def steps_named(grades: Sequence[float]) -> tuple[float, ...]:
    """The grades that an archive names, rising: what people grade by there. Those in use where it has few sales.

    In a large archive a number that hardly ever stands there is a slip, and no step."""
    if len(grades) < LEAST_NAMED:
        return IN_USE
    met = Counter(grades)
    least = 1 if len(grades) < SMALL else max(2, len(grades) // SMALL)
    return tuple(sorted(grade for grade, times in met.items() if grade in IN_USE and times >= least)) or IN_USE


def problem_effect(header: Header, problems: Sequence[str]) -> tuple[float, float]:
    """Effect of the worst problem on log price, and how unsure it is; others beside it add a third of theirs,
    `details` beside a named one nothing."""
    if not problems:
        return 0.0, 0.0
    known = header["problems"]
    kinds = set(problems) - {"details"} or {"details"}  # the word adds nothing to the fault it is said of
    found = sorted(tuple(known.get(kind, UNNAMED)) for kind in kinds)
    return found[0][0] + 0.3 * sum(effect for effect, _ in found[1:]), found[0][1]
