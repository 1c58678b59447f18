"""The figures of a guide that no band gives: a rise between two periods, a share of pieces, with their intervals."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from math import exp, sqrt
from statistics import NormalDist, median

from watchlist.core.guide.record import Rarity, Rise

LEAST = 6
"""Sales of a period from which it says something."""
SURE = 0.9
"""Of the intervals: nine in ten hold what they are meant to."""
SURER = 0.99
"""Of the share of an issue in mint state: a guide looks at many issues, and some would stand apart by chance."""


def _z(sure: float) -> float:
    return NormalDist().inv_cdf(0.5 + sure / 2)


def rise(early: Sequence[float], late: Sequence[float]) -> Rise | None:
    """The rise between two periods of log prices made equal in grade; None under six sales in either.

    The median of all differences of a late and an early sale, and the interval that a rank test gives it (Hodges and
    Lehmann 1963; Hollander, Wolfe and Chicken 2013, section 4.3): a few wild prices move neither.
    """
    m, n = len(early), len(late)
    if min(m, n) < LEAST:
        return None
    gaps = sorted(b - a for a in early for b in late)
    outside = max(int(m * n / 2 - _z(SURE) * sqrt(m * n * (m + n + 1) / 12)), 0)
    low, high = gaps[outside], gaps[-1 - outside]
    return Rise(exp(median(gaps)) - 1, exp(low) - 1, exp(high) - 1, m, n)


def share_between(hits: int, all: int) -> tuple[float, float]:
    """The interval of a share (Wilson 1927): it holds for few pieces too, and for none or all of them."""
    if not all:
        return 0.0, 1.0
    share, z = hits / all, _z(SURER)
    z2 = z * z
    middle = (share + z2 / (2 * all)) / (1 + z2 / all)
    room = z / (1 + z2 / all) * sqrt(share * (1 - share) / all + z2 / (4 * all * all))
    return max(middle - room, 0.0), min(middle + room, 1.0)


def rarities(met: Mapping[str, tuple[int, int]], source: str = "") -> dict[str, Rarity]:
    """How each issue of a series stands against the rest of it, by its pieces in mint state and all its pieces; none
    for an issue of which, or of whose rest, nothing was met."""
    all_fine, everything = (sum(each) for each in zip(*met.values(), strict=True)) if met else (0, 0)
    found = {}
    for issue, (fine, seen) in met.items():
        if seen and everything > seen:
            low, high = share_between(fine, seen)
            found[issue] = Rarity(fine, seen, low, high, (all_fine - fine) / (everything - seen), source)
    return found
