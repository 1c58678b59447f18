"""Proxy bids: who leads, and at what price, where a venue bids for each bidder up to a maximum left with it."""

from __future__ import annotations

from collections.abc import Iterable
from decimal import Decimal
from typing import NamedTuple

from watchlist.core.fees.ladders import Ladder


class Maximum(NamedTuple):
    """The most that one bidder gives."""

    bidder: str
    amount: Decimal
    """Hammer, the venue's currency; it need not stand on a rung."""


class Stands(NamedTuple):
    """How a lot stands."""

    winner: str | None
    """Who leads; None where no maximum reaches the start."""
    price: Decimal | None
    """What the leader pays if nobody bids more."""
    sold: bool
    """Somebody leads, and the reserve is met."""


def left_now(bid: Decimal, price: Decimal, ladder: Ladder, *, bid_seen: bool) -> Decimal | None:
    """What a maximum left now would stand at if nobody left more than the current bid; None where it cannot lead.

    `bid_seen`: the price is bid; else it is the start."""
    mine = Maximum("mine", bid)
    found = proxy([Maximum("theirs", price), mine], ladder) if bid_seen else proxy([mine], ladder, price)
    return found.price if found.winner == mine.bidder else None


NOBODY = Stands(None, None, False)


def proxy(
    maxima: Iterable[Maximum], ladder: Ladder, start: Decimal = Decimal(0), reserve: Decimal | None = None
) -> Stands:
    """How a lot stands when these maxima are in, the earliest first.

    The highest leads, of equal ones the earliest. Its bidder pays one increment over the second, at least the start
    and, where the maximum reaches it, the reserve; never more than the maximum. A bidder who raises a maximum does not
    bid against it; one under the start is no bid."""
    highest: dict[str, Decimal] = {}
    for bidder, amount in maxima:
        if amount >= start and amount > highest.get(bidder, Decimal(0)):
            highest.pop(bidder, None)  # what is raised comes at its new time
            highest[bidder] = amount
    if not highest:
        return NOBODY
    winner = max(highest, key=highest.__getitem__)
    most = highest.pop(winner)
    second = max(highest.values(), default=None)
    price = start if second is None else max(start, second + ladder.step_at(second))
    met = reserve is None or most >= reserve
    if reserve is not None and met:
        price = max(price, reserve)
    return Stands(winner, min(price, most), met)
