"""Small sums behind the bands, in plain Python: interpolation, order, mixtures, and a Gaussian with a few sales.

Everything is in log price unless a name says otherwise. Vectors are lists of floats, one value a grade node.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from math import erf, exp, log, sqrt

Z90 = 1.2815515655446004
"""The 90 per cent point of the normal curve."""

Part = tuple[float, float, float, float]
"""Weight, middle, spread below, spread above: one part of a mixture."""


def place(nodes: Sequence[float], grade: float) -> tuple[int, float]:
    """The node at or below a grade and the share that belongs to the next one; flat outside the nodes."""
    if len(nodes) < 2 or grade <= nodes[0]:
        return 0, 0.0
    if grade >= nodes[-1]:
        return len(nodes) - 2, 1.0
    low = bisect_right(nodes, grade) - 1
    return low, (grade - nodes[low]) / (nodes[low + 1] - nodes[low])


def between(values: Sequence[float], spot: tuple[int, float]) -> float:
    """The value at a spot found by `place`."""
    low, share = spot
    if not share:
        return values[low]
    return values[low] + share * (values[low + 1] - values[low])


def rising(values: Sequence[float], weights: Sequence[float] | None = None) -> list[float]:
    """The nearest values that never fall: pool adjacent violators (Barlow et al. 1972)."""
    blocks: list[tuple[float, float, int]] = []
    for index, value in enumerate(values):
        weight, count = (weights[index] if weights else 1.0), 1
        while blocks and blocks[-1][0] >= value:
            before, its_weight, its_count = blocks.pop()
            value = (before * its_weight + value * weight) / (its_weight + weight)
            weight, count = weight + its_weight, count + its_count
        blocks.append((value, weight, count))
    return [value for value, _, count in blocks for _ in range(count)]


def bend(at: float, knots: Sequence[float], values: Sequence[float]) -> float:
    """The value at a point of a line through knots, flat outside; one knot is a flat line."""
    return values[0] if len(knots) < 2 else between(values, place(knots, at))


def below(parts: Sequence[Part], point: float) -> float:
    """The share of a mixture that lies below a point."""
    total = 0.0
    for weight, middle, under, over in parts:
        gap = point - middle
        total += weight * 0.5 * (1.0 + erf(gap / ((over if gap > 0 else under) * 1.4142135623730951)))
    return total


def mixture_point(parts: Sequence[Part], share: float) -> float:
    """The point below which the given share of a mixture lies, to about 1e-4; parts' weights add up to one.

    By false position, as the Illinois rule mends it: an end that stays twice counts half (Dowell and Jarratt 1971).
    """
    edges = _points_alone(parts, share)
    low, high = min(edges), max(edges)
    if high - low < 1e-9:
        return low
    miss_low, miss_high = below(parts, low) - share, below(parts, high) - share
    side = 0
    for _ in range(30):
        point = (low * miss_high - high * miss_low) / (miss_high - miss_low) if miss_high != miss_low else low
        miss = below(parts, point) - share
        if abs(miss) < 2e-5 or high - low < 1e-5:
            return point
        again = 0.5 if side == (1 if miss > 0 else -1) else 1.0
        if miss > 0:
            high, miss_high, miss_low, side = point, miss, miss_low * again, 1
        else:
            low, miss_low, miss_high, side = point, miss, miss_high * again, -1
    return 0.5 * (low + high)


def _points_alone(parts: Sequence[Part], share: float) -> list[float]:
    """The point of each part by itself: the mixture's lies among them."""
    z = Z90 if share > 0.5 else -Z90 if share < 0.5 else 0.0
    return [middle + z * (over if z > 0 else under) for _, middle, under, over in parts]


def unpack(triangle: Sequence[float], size: int) -> list[list[float]]:
    """A symmetric matrix from its upper triangle, row by row."""
    full = [[0.0] * size for _ in range(size)]
    values = iter(triangle)
    for i in range(size):
        for j in range(i, size):
            full[i][j] = full[j][i] = next(values)
    return full


def cholesky(matrix: Sequence[Sequence[float]]) -> list[list[float]]:
    """The lower triangle whose square is a positive matrix; a diagonal that rounding spoilt is lifted."""
    lower: list[list[float]] = []
    for i, row in enumerate(matrix):
        mine: list[float] = []
        for j in range(i):
            its = lower[j]
            mine.append((row[j] - sum(a * b for a, b in zip(mine, its, strict=False))) / its[j])
        mine.append(sqrt(max(row[i] - sum(a * a for a in mine), 1e-10)))
        lower.append(mine)
    return lower


def solve_lower(lower: Sequence[Sequence[float]], right: Sequence[float]) -> list[float]:
    """x with `lower x = right`."""
    out: list[float] = []
    for row, value in zip(lower, right, strict=True):
        out.append((value - sum(a * b for a, b in zip(row, out, strict=False))) / row[len(out)])
    return out


def solve_upper(lower: Sequence[Sequence[float]], right: Sequence[float]) -> list[float]:
    """x with `lower' x = right`."""
    out = list(right)
    for i in range(len(out) - 1, -1, -1):
        out[i] /= lower[i][i]
        row = lower[i]
        for j in range(i):
            out[j] -= row[j] * out[i]
    return out


def over_metal(eta: float, metal: float) -> float:
    """Log price of a piece from the log of the collectors' part and its metal value."""
    return log(metal + exp(min(eta, 40.0))) if metal else eta


def over_metal_slope(eta: float, metal: float) -> float:
    """How much of a change in the collectors' part shows in the price; at least .03."""
    part = exp(min(eta, 40.0))
    return max(part / (metal + part), 0.03) if metal else 1.0


def collectors_part(log_price: float, metal: float) -> float:
    """The log of what a price is over its metal; at least a fiftieth of the price."""
    price = exp(min(log_price, 40.0))
    return log(max(price - metal, 0.02 * price)) if metal else log_price
