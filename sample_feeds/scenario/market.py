"""The market as it truly is: what any piece brings on any day, and how sellers misstate it."""

from __future__ import annotations

import math
import random
from datetime import date
from itertools import pairwise

from scenario.coins import Coin

TODAY = date(2026, 3, 3)
FIRST_DAY = date(2020, 3, 3)
STEPS: tuple[int, ...] = (1, 2, 3, 4, 6, 8, 10, 12, 15, 20, 25, 30, 35, 40, 45, 50, 53, 55, 58, *range(60, 71))
"""Grade numbers in use."""

_NODES = (
    (1, -1.9),
    (4, -1.15),
    (8, -0.8),
    (12, -0.55),
    (20, -0.25),
    (30, 0.0),
    (40, 0.34),
    (45, 0.5),
    (50, 0.72),
    (55, 0.92),
    (58, 1.06),
    (60, 1.2),
    (62, 1.45),
    (63, 1.68),
    (64, 1.95),
    (65, 2.35),
    (66, 2.8),
    (67, 3.3),
    (70, 3.9),
)
_HOARDED = {62: 1.3, 63: 1.36, 64: 1.42, 65: 1.52, 66: 1.75, 67: 2.3, 70: 2.9}
_DRIFT = ((6.1, -0.24), (5.0, -0.15), (4.0, 0.02), (3.0, 0.05), (2.0, -0.03), (1.0, -0.02), (0.0, 0.0))
PROBLEMS = {"cleaned": 0.58, "scratched": 0.62, "rim damage": 0.66, "corroded": 0.45, "repaired": 0.4, "holed": 0.25}
"""Problem words of the files, and what is left of the price."""
RAW = -0.05
"""A piece without a holder brings this much less (log), besides what over-grading takes."""
OVERGRADING = {"auction": (0.78, 0.18, 0.04), "marketplace": (0.5, 0.34, 0.16), "dealer": (0.7, 0.25, 0.05)}
"""Shares of raw pieces that are 0, 1, 2 steps below the grade stated."""


def _between(x: float, nodes: tuple[tuple[float, float], ...]) -> float:
    """Straight lines through nodes that are sorted by x, flat outside."""
    if x <= nodes[0][0]:
        return nodes[0][1]
    for (x0, y0), (x1, y1) in pairwise(nodes):
        if x <= x1:
            return y0 + (y1 - y0) * (x - x0) / (x1 - x0)
    return nodes[-1][1]


def curve(coin: Coin, grade: int) -> float:
    """ln of the price against VF-30, with the coin's own steepness, and flat at the top where a hoard came out."""
    nodes = tuple((g, _HOARDED.get(g, y)) for g, y in _NODES) if coin.hoarded else _NODES
    y = _between(grade, nodes)
    mint_state = max(0.0, y - 1.2)
    slope = coin.series.wear * (y - mint_state) + coin.series.gem * mint_state
    return slope * (1 + coin.tilt)


def value(coin: Coin, grade: int, day: date = TODAY, *, raw: bool = False, problem: str = "") -> float:
    """Middle price of one piece that is truly so: home currency, all-in. Rises with the grade."""
    years = (TODAY - day).days / 365.25
    drift = _between(-years, tuple((-a, m) for a, m in _DRIFT))
    eta = coin.level + curve(coin, grade) + drift + (RAW if raw else 0.0)
    return (coin.series.floor + math.exp(eta)) * PROBLEMS.get(problem, 1.0)


def noise(rng: random.Random, scale: float) -> float:
    """Student's t with 4 degrees of freedom: most sales near the middle, some far out."""
    tail = sum(rng.gauss(0, 1) ** 2 for _ in range(4)) / 4
    return scale * rng.gauss(0, 1) / math.sqrt(max(tail, 0.05))


def lower(grade: int, steps: int) -> int:
    """The grade number so many steps down (up, if negative)."""
    return STEPS[min(max(STEPS.index(grade) - steps, 0), len(STEPS) - 1)]


def true_grade(rng: random.Random, stated: int, venue_kind: str) -> int:
    """What a raw piece really grades when a seller of this kind says so."""
    return lower(stated, rng.choices((0, 1, 2), OVERGRADING[venue_kind])[0])
