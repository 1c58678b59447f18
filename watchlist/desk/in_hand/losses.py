"""What was lost by how much, and whether one's bids are always too low."""

from __future__ import annotations

from statistics import median

from watchlist.core.decisions.review import Decision
from watchlist.core.money.amount import Money
from watchlist.desk.desk import Desk

LAST = 9
"""Sales that the hint looks back on."""
LEAST = 5
"""Fewer say nothing."""
TOO_OFTEN = 2 / 3


def beaten_by(bid: Money | None, price: Money) -> str:
    """`15 GBP (19%) above your bid`; empty where the price is not above a bid of one's own."""
    if bid is None or bid.currency != price.currency or price.amount <= bid.amount:
        return ""
    over = Money(price.amount - bid.amount, price.currency)
    return f"{over} ({over.amount / bid.amount:.0%}) above your bid"


def hint(desk: Desk) -> str:
    """`lost 7 of the last 9, by a median of 18% of the bid: your ceilings may be too low`; empty for fewer."""
    margins = _margins(desk.shelf.store.decisions.in_force("placed", "acknowledged", "won", "lost"))[-LAST:]
    lost = [margin for margin in margins if margin > 0]
    if len(margins) < LEAST or len(lost) < TOO_OFTEN * len(margins):
        return ""
    return (
        f"lost {len(lost)} of the last {len(margins)} bids by a median of {median(lost):.0%} of the bid: your ceilings "
        "may be too low for this market"
    )


def _margins(lines: list[Decision]) -> list[float]:
    """By sale with a bid of one's own, the last last: how far the price was above it, of the bid; 0 for a win."""
    placed: dict[str, Money] = {}
    found: dict[str, float] = {}
    for line in lines:
        if line.verb in ("placed", "acknowledged"):
            if line.amount is not None:
                placed[line.lot] = line.amount
            continue
        bid = placed.get(line.lot)
        found.pop(line.lot, None)
        if line.verb == "won" and bid is not None:
            found[line.lot] = 0.0
        elif bid is not None and line.amount is not None and line.amount.currency == bid.currency:
            found[line.lot] = max(float(line.amount.amount / bid.amount) - 1, 0.0)
    return list(found.values())
