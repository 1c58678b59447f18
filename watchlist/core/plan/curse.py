"""The winner's curse: who wins among equally well informed bidders has on average overestimated the piece."""

from __future__ import annotations

from functools import lru_cache
from math import erfc, exp, pi, sqrt

REACH = 9.0
"""Standard deviations beyond which nothing of the normal density is left, to ten decimals."""
STEPS = 720
"""Of the trapezoidal rule, which closes in faster than any power of them where all dies away at both ends."""


@lru_cache(maxsize=64)
def highest_of(bidders: int) -> float:
    """E[max z]: how far, in standard errors, the highest of so many equal and unbiased estimates lies above the truth.

    The integral of z n phi(z) Phi(z)^(n-1); 0 for one bidder."""
    step = 2 * REACH / STEPS
    return sum(_weighted(-REACH + n * step, bidders) for n in range(STEPS + 1)) * step


def _weighted(z: float, bidders: int) -> float:
    density = exp(-z * z / 2) / sqrt(2 * pi)
    below: float = 0.5 * erfc(-z / sqrt(2))
    return z * bidders * density * below ** (bidders - 1)


def shaded(estimate: float, error: float, bidders: int) -> float:
    """An estimate less what the highest of so many is too high on average. `error`: its standard error, in the unit of
    the estimate."""
    return estimate - highest_of(bidders) * error
