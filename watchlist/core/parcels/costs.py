"""What a parcel costs, and the three costs of a lot: alone, beside another one, and before postage."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from functools import lru_cache
from typing import Any

from watchlist.core.fees.costs import Cost, exchange_factor
from watchlist.core.fees.terms import Terms
from watchlist.core.fees.working import HOME_LINES, NOUGHT, Hammered, worked
from watchlist.core.money.amount import Money


@dataclass(frozen=True, slots=True)
class LotCosts:
    """The three costs of one lot at one hammer price, home currency."""

    alone: Decimal
    """As the only lot of its parcel."""
    shared: Decimal
    """The most that it adds to a parcel that comes anyway."""
    before: Decimal
    """Shared, and without any postage: what cheap and dear coins are compared by."""


@dataclass(frozen=True, slots=True)
class Exchange:
    """Where a venue's money goes: the home currency, and home units for one of the sale's."""

    home: str
    fx: Decimal | None = None


@lru_cache(maxsize=512)
def as_shared(terms: Terms) -> Terms:
    """The terms as they hold for one more lot of a parcel that comes anyway.

    Thresholds of taxes count as passed, and postage by steps as the largest step that the lot may cause, so that a
    parcel never costs more than its fixed cost and the shared costs of its lots, but for cents of rounding."""
    return replace(
        terms,
        shipping=terms.shipping_more,
        shipping_more=NOUGHT,
        post_steps=replace(terms.post_steps, added=True) if terms.post_steps else None,
        **_ONCE,
        **_PASSED,
    )


@lru_cache(maxsize=512)
def before_postage(terms: Terms) -> Terms:
    """The terms without what a parcel costs once and without postage; thresholds hold as for the lot alone."""
    return replace(terms, shipping=NOUGHT, shipping_more=NOUGHT, post_steps=None, **_ONCE)


_ONCE: dict[str, Any] = {"handling": NOUGHT, "min_insurance": NOUGHT, "payment_fee": NOUGHT}
_PASSED: dict[str, Any] = {"duty_from": NOUGHT, "import_vat_from": NOUGHT, "sales_tax_from": NOUGHT}


def parcel_cost(terms: Terms, lots: Sequence[Hammered], money: Exchange) -> Cost:
    """What a parcel of these lots costs, line by line. Without a lot it costs nothing.

    Raises TermsError where a rate is missing or a hammer price is below 0."""
    factor = exchange_factor(terms, money.home, money.fx)
    lines = worked(terms, lots, factor) if lots else [("all_in", NOUGHT)]
    told = tuple((name, Money(amount, money.home if name in HOME_LINES else terms.currency)) for name, amount in lines)
    return Cost(told, told[-1][1])


def parcel_amount(terms: Terms, lots: Sequence[Hammered], money: Exchange) -> Decimal:
    """The same without its lines, home currency."""
    if not lots:
        return NOUGHT
    return worked(terms, lots, exchange_factor(terms, money.home, money.fx))[-1][1]


def lot_costs(terms: Terms, lot: Hammered, money: Exchange) -> LotCosts:
    """The three costs of a lot, home currency. Raises TermsError as `parcel_cost` does."""
    factor = exchange_factor(terms, money.home, money.fx)
    alone, shared, before = (
        worked(each, (lot,), factor)[-1][1] for each in (terms, as_shared(terms), before_postage(terms))
    )
    return LotCosts(alone, shared, before)


def fixed_cost(terms: Terms, money: Exchange) -> Decimal:
    """What a parcel costs whatever is in it, home currency: a lot at nothing, without a premium, as if the thresholds
    of taxes were passed."""
    free = replace(terms, premium=replace(terms.premium, minimum=NOUGHT), **_PASSED)
    return parcel_amount(free, (Hammered(NOUGHT),), money)


def worst_hammer(terms: Terms, lot: Hammered) -> Hammered:
    """The hammer price at or below a bid at which winning costs most: whole-price tiers can make a lower one dearer."""
    edges = [edge for edge in terms.premium.edges if edge < lot.hammer]
    if not edges:
        return lot
    free = before_postage(terms)
    prices = [lot, *(lot._replace(hammer=edge) for edge in edges)]
    return max(prices, key=lambda each: (worked(free, (each,), Decimal(1))[-1][1], each.hammer))
