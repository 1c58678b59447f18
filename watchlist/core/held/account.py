"""What each piece of a parcel cost, to the cent, and what was lost on one that went back."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from watchlist.core.fees.terms import Terms
from watchlist.core.fees.working import HOME_LINES, Hammered, worked
from watchlist.core.fees.working import share as pct_of
from watchlist.core.held.course import ParcelCourse, PieceCourse
from watchlist.core.money.amount import cents
from watchlist.core.parcels.costs import Exchange
from watchlist.core.parcels.shares import by_piece, by_price, split, weights


@dataclass(frozen=True, slots=True)
class PieceCost:
    """One piece's part of what its parcel cost; home currency."""

    share: Decimal
    """Of all that was paid for the parcel."""
    basis: Decimal
    """What the piece cost that is still held or was sold; 0 for one that went back."""
    lost: Decimal
    """On a piece that went back: its share and the postage of sending it, less the refund. Never on the others."""


def shares(
    course: ParcelCourse, terms: Terms, lots: Sequence[Hammered], money: Exchange, paid: Decimal | None = None
) -> tuple[Decimal, ...]:
    """What was paid for a parcel, told to its pieces in the order of `lots`. `paid`: in place of what was paid."""
    whole = course.paid if paid is None else paid
    return by_piece(terms, lots, whole, money) if course.split == "by-piece" else by_price(terms, lots, whole)


SUMS = frozenset({"hammer", "premium", "internet_surcharge", "total_sale_currency", "converted", "all_in"})
"""Lines that are each piece's own, or that add up others."""
ONCE = frozenset({"shipping", "insurance", "handling_fixed", "payment_fee"})
"""Lines that a parcel costs once: in equal parts where the cost is split by piece."""


def cost_lines(
    course: ParcelCourse, terms: Terms, lots: Sequence[Hammered], factor: Decimal, parts: Sequence[Decimal]
) -> tuple[dict[str, Decimal], ...]:
    """What each piece's share of a parcel holds, line by line, home currency; `factor` is that of the day.

    What was paid more or less than calculated stands as `other`, so that the lines of a piece add up to its share."""
    told = worked(terms, lots, factor)
    found: list[dict[str, Decimal]] = [_own_lines(terms, lot, factor) for lot in lots]
    for name, amount in told:
        if name in SUMS:
            continue
        equal = course.split == "by-piece" and name in ONCE
        by = [Decimal(1)] * len(lots) if equal else weights(terms, lots)
        home = cents(amount if name in HOME_LINES else amount * factor)
        for piece, part in zip(found, split(home, by), strict=True):
            piece[name] = part
    for piece, part in zip(found, parts, strict=True):
        piece["other"] = part - sum(piece.values(), Decimal(0))
    return tuple(found)


def _own_lines(terms: Terms, lot: Hammered, factor: Decimal) -> dict[str, Decimal]:
    price = cents(lot.hammer)
    own = (
        ("hammer", price),
        ("premium", terms.premium.of(price)),
        ("internet_surcharge", pct_of(price, terms.internet_pct)),
    )
    return {name: cents(amount * factor) for name, amount in own}


def piece_cost(share: Decimal, piece: PieceCourse) -> PieceCost:
    """A piece's cost by its share. A refund without a return makes the piece cheaper."""
    if piece.returned is not None:
        return PieceCost(share, Decimal(0), share + piece.postage + piece.spent - piece.refunded)
    return PieceCost(share, share - piece.refunded + piece.spent, Decimal(0))
