"""An amount that a person types for a bid, an offer or a result."""

from __future__ import annotations

from watchlist.core.money.amount import Money
from watchlist.desk.desk import Desk
from watchlist.desk.errors import DeskError


def above_zero(desk: Desk, text: str, currency: str, what: str) -> Money:
    """An amount; without a currency it is in this one. Raises MoneyError, and DeskError for nothing or less."""
    paid = Money.parse(text, default=currency, codes=desk.currencies)
    if paid.amount <= 0:
        raise DeskError(f"A {what} is above zero, not {paid}. Nothing was written.")
    return paid
