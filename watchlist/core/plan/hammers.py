"""From a band to the hammer prices that such a piece is sold for at one venue."""

from __future__ import annotations

from decimal import Decimal
from functools import lru_cache
from math import log

from watchlist.core.fees.costs import exchange_factor, hammer_within
from watchlist.core.fees.terms import Terms
from watchlist.core.parcels.costs import Exchange, before_postage
from watchlist.core.plan.offers import Likely
from watchlist.core.prices.record import Band

EDGES = 2.5631
"""Standard deviations from the 10 to the 90 per cent point."""
LEAST_SPREAD = 0.05


def likely(band: Band, terms: Terms, money: Exchange, below: Decimal = Decimal(0)) -> Likely | None:
    """What a lot may be sold for, in the sale's currency; `below`: a price that it is surely above.

    None where fees alone are more than the band's median."""
    low, middle, high = (hammer_of(amount, band.kind, terms, money) for amount in (band.low, band.mid, band.high))
    if middle is None or middle <= 0 or high is None:
        return None
    if low is None or low <= 0:  # fees alone are more than its low: the upper half tells how wide it is
        spread = 2 * log(high / middle) / EDGES
    else:
        spread = spread_of(low, high)
    return Likely(float(middle), max(spread, LEAST_SPREAD), float(below))


def spread_of(low: Decimal, high: Decimal) -> float:
    """The standard deviation of the logarithm between a low and a high above 0."""
    return log(high / low) / EDGES


@lru_cache(maxsize=4096)
def hammer_of(amount: Decimal, kind: str, terms: Terms, money: Exchange) -> Decimal | None:
    """A price of a band, home currency, taken back to a hammer price at a venue, its own currency."""
    if kind == "hammer":
        return amount / exchange_factor(terms, money.home, money.fx)
    own = before_postage(terms) if kind == "before postage" else terms
    return hammer_within(own, amount, home=money.home, fx=money.fx)
