"""Where metal counts a price is metal plus what collectors pay: ln(price) = ln(M + e^eta). The model works on eta."""

from __future__ import annotations

import numpy as np

from watchlist.market.rows import Floats

LEAST_SLOPE, LARGEST_STEP, NEW = 0.03, 3.0, 0.7
"""A price near the metal says little of eta: no slope is less. No step is larger, and so much of a step is taken."""


def slope_of(eta: Floats, metal: Floats) -> Floats:
    """How much of a change in eta shows in the log price."""
    part = np.exp(np.minimum(eta, 40.0))
    slope: Floats = np.maximum(part / (metal + part), LEAST_SLOPE)
    return slope


def seen_from(eta: Floats, log_price: Floats, metal: Floats, slope: Floats) -> Floats:
    """A price as an observation of eta: one Gauss-Newton step from the present eta."""
    gap = log_price - np.log(metal + np.exp(np.minimum(eta, 40.0)))
    seen: Floats = eta + np.clip(gap / slope, -LARGEST_STEP, LARGEST_STEP)
    return seen


def first_guess(log_price: Floats, metal: Floats) -> Floats:
    """The collectors' part to start from: what is over the metal, but at least a tenth of the price."""
    price = np.exp(log_price)
    return np.log(np.maximum(price - metal, 0.1 * price))
