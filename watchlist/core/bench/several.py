"""Several measurements at once against pieces known to be genuine: how odd is this one among them?

With 20 and more the exact conformal p-value (Vovk, Gammerman and Shafer 2005): the piece is put among the others, and p
is the share of them that lie at least as far from the middle. From 10 to 19 Hotelling's T2 with correlations shrunk by
the analytic intensity (Schaefer and Strimmer 2005), its law simulated. Under 10 nothing is said.
"""

from __future__ import annotations

import random
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from math import sqrt
from typing import Literal

from watchlist.core.prices.bandmath import cholesky, solve_lower

LEAST, CONFORMAL = 10, 20
"""Pieces from which the shrunk law says something, and the exact one."""
DRAWS = 999
"""Simulated sets: the least p is one in a thousand."""
ODD = 0.05
"""The p at which a piece is said to stand apart (common practice)."""
RIDGE = 1e-6
"""Of a variance of one, added so that two measurements that always agree can still be inverted."""
Table = Sequence[Sequence[float]]


@dataclass(frozen=True, slots=True)
class Oddness:
    """How odd a piece is among genuine ones."""

    p: float | None
    """Share of genuine pieces that would look at least as odd; None with too few to say."""
    least: float
    """The smallest p that so many pieces can give."""
    pieces: int
    method: Literal["conformal", "Hotelling, shrunk", "too few"]

    @property
    def stands_apart(self) -> bool:
        """At most one genuine piece in twenty would look as odd."""
        return self.p is not None and self.p <= ODD


def oddness(piece: Sequence[float], genuine: Table, seed: int = 1) -> Oddness:
    """Where a piece stands among genuine ones; each row has the same measurements in the same order."""
    n = len(genuine)
    if n < LEAST or not piece:
        return Oddness(None, 1.0, n, "too few")
    if n < CONFORMAL:
        return Oddness(_shrunk_p(piece, genuine, seed), 1 / (DRAWS + 1), n, "Hotelling, shrunk")
    return Oddness(_conformal_p(piece, genuine), 1 / (n + 1), n, "conformal")


def _conformal_p(piece: Sequence[float], genuine: Table) -> float:
    rows = [list(piece), *map(list, genuine)]
    far = _distances(rows, _standard(rows), shrink=0.0)
    return sum(each >= far[0] - 1e-9 for each in far) / len(far)


def _shrunk_p(piece: Sequence[float], genuine: Table, seed: int) -> float:
    """The share of sets drawn from the same normal law whose own new piece is at least as far off."""
    shrink, law = _law(tuple(map(tuple, genuine)), seed)
    own = _t2(piece, genuine, shrink)
    return (1 + sum(far >= own for far in law)) / (DRAWS + 1)


@lru_cache(maxsize=16)
def _law(genuine: tuple[tuple[float, ...], ...], seed: int) -> tuple[float, tuple[float, ...]]:
    """The intensity, and how far off a new piece lies in each drawn set; one law for all pieces beside the same set."""
    scores = _standard(genuine)
    shrink = _intensity(scores)
    lower, draw = cholesky(_correlations(scores, shrink)), random.Random(seed)
    sets = ([_drawn(lower, draw) for _ in range(len(genuine) + 1)] for _ in range(DRAWS))
    return shrink, tuple(_t2(first, rest, shrink) for first, *rest in sets)


def _t2(piece: Sequence[float], rows: Table, shrink: float) -> float:
    """Squared distance of a piece from the middle of the others, by their own shrunk covariance."""
    means, spreads = _moments(rows)
    scores = [[(x - m) / s for x, m, s in zip(row, means, spreads, strict=True)] for row in rows]
    at = [(x - m) / s for x, m, s in zip(piece, means, spreads, strict=True)]
    return sum(x * x for x in solve_lower(cholesky(_correlations(scores, shrink)), at))


def _distances(rows: Table, scores: Table, *, shrink: float) -> list[float]:
    lower = cholesky(_correlations(scores, shrink))
    return [sum(x * x for x in solve_lower(lower, score)) for score in scores]


def _moments(rows: Table) -> tuple[list[float], list[float]]:
    """Means and standard deviations of the columns; one that never varies counts as 1, so that it says nothing."""
    n, columns = len(rows), list(zip(*rows, strict=True))
    means = [sum(column) / n for column in columns]
    variances = [sum((x - m) ** 2 for x in column) / (n - 1) for column, m in zip(columns, means, strict=True)]
    return means, [sqrt(v) if v > 0 else 1.0 for v in variances]


def _standard(rows: Table) -> list[list[float]]:
    means, spreads = _moments(rows)
    return [[(x - m) / s for x, m, s in zip(row, means, spreads, strict=True)] for row in rows]


def _correlations(scores: Table, shrink: float) -> list[list[float]]:
    """Correlations drawn towards none by the share `shrink`."""
    n, width = len(scores), len(scores[0])
    out = [[1.0 + RIDGE if i == j else 0.0 for j in range(width)] for i in range(width)]
    for i in range(width):
        for j in range(i):
            r = sum(row[i] * row[j] for row in scores) / (n - 1)
            out[i][j] = out[j][i] = (1 - shrink) * r
    return out


def _intensity(scores: Table) -> float:
    """Schaefer and Strimmer 2005, section 3.1: the variance of the correlations over their squares, at most one."""
    n, width = len(scores), len(scores[0])
    noise = strength = 0.0
    for i in range(width):
        for j in range(i):
            products = [row[i] * row[j] for row in scores]
            mean = sum(products) / n
            noise += n / (n - 1) ** 3 * sum((w - mean) ** 2 for w in products)
            strength += (n / (n - 1) * mean) ** 2
    return min(1.0, noise / strength) if strength > 0 else 1.0


def _drawn(lower: Table, draw: random.Random) -> list[float]:
    seeds = [draw.gauss(0.0, 1.0) for _ in lower]
    return [sum(a * b for a, b in zip(row, seeds, strict=False)) for row in lower]
