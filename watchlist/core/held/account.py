"""What each piece of a parcel cost, to the cent, and what was lost on one that went back."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from watchlist.core.fees.terms import Terms
from watchlist.core.fees.working import Hammered
from watchlist.core.held.course import ParcelCourse, PieceCourse
from watchlist.core.parcels.costs import Exchange
from watchlist.core.parcels.shares import by_piece, by_price


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


def piece_cost(share: Decimal, piece: PieceCourse) -> PieceCost:
    """A piece's cost by its share. A refund without a return makes the piece cheaper."""
    if piece.returned is not None:
        return PieceCost(share, Decimal(0), share + piece.postage + piece.spent - piece.refunded)
    return PieceCost(share, share - piece.refunded + piece.spent, Decimal(0))


def net_spent(course: ParcelCourse, pieces: Sequence[PieceCourse]) -> Decimal:
    """What a parcel took from the purse: paid, sent back, graded; less every refund."""
    own = sum((each.postage + each.spent - each.refunded for each in pieces), Decimal(0))
    return course.paid + own
