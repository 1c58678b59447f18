"""What a venue without terms is taken to charge, by what kind it seems to be."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal
from types import MappingProxyType

from watchlist.core.fees.premiums import Premium
from watchlist.core.fees.terms import Terms
from watchlist.core.lots.record import Lot
from watchlist.core.money.amount import Rates, cents

NOUGHT = Decimal(0)


@dataclass(frozen=True, slots=True)
class Assumed:
    """Assumed charges by kind of venue: premium in per cent, postage in home currency."""

    premium: Mapping[str, Decimal] = field(default_factory=lambda: MappingProxyType({"auction": Decimal(20)}))
    """By kind; a kind that is not named charges none."""
    postage: Decimal = Decimal(8)


def assumed_terms(lot: Lot, assumed: Assumed, rates: Rates, day: date) -> Terms | None:
    """Terms in the lot's own currency for a venue that has none; None without a price or a rate.

    A lot that is bid for is taken as an auction's, one whose seller has ratings as a marketplace's, else a dealer's."""
    factor = rates.to_home_factor(lot.price.currency, day) if lot.price is not None else None
    if lot.price is None or not factor:
        return None
    by_bids = lot.price_kind in ("so far", "estimate", "ended")
    kind = "auction" if by_bids else "marketplace" if lot.feedback is not None else "dealer"
    share = assumed.premium.get(kind, NOUGHT)
    premium = Premium("flat", share) if share else Premium()
    return Terms(lot.venue or "the venue", lot.price.currency, kind, premium, shipping=cents(assumed.postage / factor))
