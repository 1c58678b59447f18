"""What a price says: the fair values a lot may have, and how a cost weighs against them."""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import lru_cache
from itertools import accumulate
from statistics import NormalDist

Part = tuple[float, float, float]
"""(weight, mean, standard deviation) of one log-normal part of the fair value, natural log of home currency."""

HONEST_SPREAD = (0.05, 0.2)
"""An honest piece is offered about its fair value: mean and standard deviation of log(cost / fair value)."""
HONEST_CHEAP = (0.1, 1.2)
"""Share of honest pieces offered anywhere below, and how far below in logs."""
FAKE_SHARE, FAKE_LOWEST = 0.95, math.log(0.1)
"""Share of fakes offered anywhere from a tenth of the fair value up."""
FLOOR = 1e-4
"""Both densities stand on this."""
STEP = 0.05
"""Cells of the fair value and of the costs tried, in logs."""
_TAILS = [NormalDist().inv_cdf((k + 0.5) / 9) for k in range(9)]


def honest_density(r: float) -> float:
    """Density of log(cost / fair value) among honest lots."""
    mean, sd = HONEST_SPREAD
    share, below = HONEST_CHEAP
    return (1 - share) * _normal(r, mean, sd) + share * (-below <= r <= 0) / below + FLOOR


def fake_density(r: float) -> float:
    """Density of log(cost / fair value) among fakes: mostly cheap, some at full price."""
    mean, sd = HONEST_SPREAD
    flat = FAKE_SHARE * (FAKE_LOWEST <= r <= 0) / -FAKE_LOWEST
    return flat + (1 - FAKE_SHARE) * _normal(r, mean, sd) + FLOOR


def _normal(r: float, mean: float, sd: float) -> float:
    return math.exp(-0.5 * ((r - mean) / sd) ** 2) / (sd * math.sqrt(2 * math.pi))


@lru_cache(maxsize=4096)
def _densities(cell: int) -> tuple[float, float]:
    """Honest and fake density in a cell, by its number."""
    return honest_density(cell * STEP), fake_density(cell * STEP)


def cells(parts: Sequence[Part]) -> dict[int, float]:
    """The fair-value distribution in cells of log value; the weights add up to one."""
    total = sum(weight for weight, _, _ in parts)
    found: dict[int, float] = {}
    for weight, mean, sd in parts:
        for tail in _TAILS:
            cell = round((mean + sd * tail) / STEP)
            found[cell] = found.get(cell, 0.0) + weight / total / len(_TAILS)
    return found


def price_weight(cost: float, parts: Sequence[Part], *, floor: float = -2.0, top: float = 2.5) -> float:
    """Natural-log odds that a cost speaks for a fake, clipped. A lower cost never weighs less than a higher one.

    The ratio of the two mixtures alone falls again at very low costs, where both stand on their floor; so the largest
    ratio over all costs from this one up to the high end of the fair value counts."""
    if cost <= 0 or not parts or sum(weight for weight, _, _ in parts) <= 0:
        return 0.0
    values = cells(parts)
    top_cell = _high_end(values)
    here = min(round(math.log(cost) / STEP), top_cell)
    lowest = max(here, min(values) + round(FAKE_LOWEST / STEP) - 20)  # below that both stand on their floor
    return max(floor, min(top, max(_log_ratio(cell, values) for cell in range(min(lowest, top_cell), top_cell + 1))))


def _high_end(values: dict[int, float]) -> int:
    """The cell that 95 per cent of the fair value lies at or below: dearer costs say no more than this one."""
    ordered = sorted(values)
    shares = accumulate(values[cell] for cell in ordered)
    return next((cell for cell, share in zip(ordered, shares, strict=True) if share >= 0.95), ordered[-1])


def _log_ratio(cost: int, values: dict[int, float]) -> float:
    honest = fake = 0.0
    for value, weight in values.items():
        f_honest, f_fake = _densities(cost - value)
        honest += weight * f_honest
        fake += weight * f_fake
    return math.log(fake / honest)


def worth_it(cost: float, parts: Sequence[Part], bargain_at: float) -> float:
    """The chance that the piece, if genuine, is worth its cost over `bargain_at`: P of the full bargain rule."""
    if cost <= 0 or not parts:
        return 0.0
    values = cells(parts)
    here = round(math.log(cost) / STEP)
    needed = math.log(cost / bargain_at) / STEP
    weights = {value: weight * _densities(here - value)[0] for value, weight in values.items()}
    return sum(weight for value, weight in weights.items() if value >= needed) / sum(weights.values())
