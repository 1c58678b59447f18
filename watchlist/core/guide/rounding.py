"""Figures rounded as guides print them: coarser, the dearer the piece."""

from __future__ import annotations

from bisect import bisect_right
from decimal import ROUND_HALF_UP, Decimal

from watchlist.core.fees.ladders import Ladder, TermsError
from watchlist.core.typed.words import TypedError

USUAL = "0:0.50;10:1;20:5;100:10;500:25;1000:50;5000:250;20000:1000"
"""From a price on, to which step it is rounded (common practice: 5 under 100, and so on)."""


def steps(text: str) -> Ladder | None:
    """`0:1;20:5;100:10` (from:step); None for `none`. Raises TypedError."""
    if text.strip().casefold() in ("none", "no"):
        return None
    try:
        return Ladder.parse(text)
    except TermsError as error:
        raise TypedError(f"Rounding: {str(error).rstrip('.')}") from error


def rounded(amount: Decimal, by: Ladder | None) -> Decimal:
    """The nearest printed figure; never nought for a price above it."""
    if by is None or amount <= 0:
        return amount
    step = by.steps[bisect_right(by.steps, amount, key=lambda each: each[0]) - 1][1]
    return max((amount / step).quantize(Decimal(1), ROUND_HALF_UP), Decimal(1)) * step
