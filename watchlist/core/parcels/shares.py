"""A sum paid for a parcel told to its pieces, to the cent."""

from __future__ import annotations

import operator
from collections.abc import Sequence
from decimal import ROUND_FLOOR, Decimal

from watchlist.core.fees.terms import Terms
from watchlist.core.fees.working import NOUGHT, Hammered, share
from watchlist.core.money.amount import CENT, cents
from watchlist.core.parcels.costs import Exchange, before_postage, parcel_amount


def by_price(terms: Terms, lots: Sequence[Hammered], paid: Decimal) -> tuple[Decimal, ...]:
    """Shares by hammer, premium and internet fee of each piece; they add up to the sum paid."""
    return split(paid, weights(terms, lots))


def by_piece(terms: Terms, lots: Sequence[Hammered], paid: Decimal, money: Exchange) -> tuple[Decimal, ...]:
    """What the parcel costs once goes in equal parts, the rest by price; each split is rounded for itself."""
    once = paid - parcel_amount(before_postage(terms), lots, money)
    if once < 0:  # less was paid than the pieces cost: there is nothing to spread
        return by_price(terms, lots, paid)
    equal = split(once, [Decimal(1)] * len(lots))
    return tuple(map(operator.add, equal, split(paid - once, weights(terms, lots))))


def weights(terms: Terms, lots: Sequence[Hammered]) -> list[Decimal]:
    """Hammer, premium and internet fee of each piece, sale currency."""
    prices = [cents(lot.hammer) for lot in lots]
    return [price + terms.premium.of(price) + share(price, terms.internet_pct) for price in prices]


def split(amount: Decimal, parts: Sequence[Decimal]) -> tuple[Decimal, ...]:
    """An amount of 0 or more in whole cents by weight, by largest remainder; ties to the larger weight, then in order.

    Parts without any weight share alike. Raises ValueError without a part."""
    if not parts:
        raise ValueError("A sum cannot be split among no pieces.")
    if not sum(parts):
        parts = [Decimal(1)] * len(parts)
    whole = sum(parts, NOUGHT)
    exact = [amount * part / whole for part in parts]
    floor = [each.quantize(CENT, ROUND_FLOOR) for each in exact]
    left = int((amount - sum(floor, NOUGHT)) / CENT)
    order = sorted(range(len(parts)), key=lambda n: (floor[n] - exact[n], -parts[n], n))
    more = frozenset(order[:left])
    return tuple(each + CENT if n in more else each for n, each in enumerate(floor))
