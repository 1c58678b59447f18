"""What a person types beside a decision: an amount for a bid, an offer or a result, and the day it happened."""

from __future__ import annotations

from datetime import date

from watchlist.core.money.amount import Money, MoneyError
from watchlist.core.typed.day import day_typed
from watchlist.desk.desk import Desk
from watchlist.desk.errors import DeskError, refusing
from watchlist.page.dates import short_day


def above_zero(desk: Desk, text: str, currency: str, what: str) -> Money:
    """An amount; without a currency it is in this one. Raises DeskError for what is none, and for nothing or less."""
    paid = _amount(desk, text, currency)
    if paid.amount <= 0:
        raise DeskError(f"A {what} is above zero, not {paid}. Nothing was written.")
    return paid


def in_currency(desk: Desk, text: str, currency: str, what: str, *, nothing: bool = False) -> Money:
    """An amount that has to be in this currency, above zero or, where `nothing` may be said, zero.

    Raises DeskError for what is no amount, for another currency and for less."""
    found = _amount(desk, text, currency)
    if found.amount or not nothing:
        found = above_zero(desk, text, currency, what)
    if found.currency != currency:
        raise DeskError(f"The {what} is to be told in {currency}, not {found.currency}. Nothing was written.")
    return found


def _amount(desk: Desk, text: str, currency: str) -> Money:
    try:
        return Money.parse(text, default=currency, codes=desk.currencies)
    except MoneyError as error:
        raise DeskError(f"{str(error).removesuffix('.')}. Nothing was written.") from None


def day_of(desk: Desk, text: str, what: str = "") -> date | None:
    """The day on which something happened, None where nothing is said; `what` happened, for the sentence.

    Raises DeskError for one still to come."""
    if not text:
        return None
    with refusing("Nothing was written."):
        day = day_typed(text, desk.words, desk.now, desk.settings.home.time_zone).day
    if day > desk.local_today():
        told = f"{what.capitalize()} {short_day(day, desk.local_today())}".strip()
        raise DeskError(f"{told} is still to come. Nothing was written.")
    return day
