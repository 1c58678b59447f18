"""One lot with all that its mark rests on."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from decimal import Decimal

from watchlist.core.coins.matching import Match
from watchlist.core.lots.record import Lot
from watchlist.core.marks.pricesign import Part
from watchlist.core.marks.record import Doubt, Judgement, Want
from watchlist.core.marks.valuation import Priced
from watchlist.core.money.amount import Money
from watchlist.core.prices.record import Band
from watchlist.core.reading.record import Reading


@dataclass(frozen=True, slots=True)
class Worth:
    """What the market says of a piece."""

    band: Band | None = None
    """Of the next price."""
    value: Band | None = None
    """Of what it is worth."""
    parts: Sequence[Part] = ()
    """The distribution of its value."""
    usual: float | None = None
    """The median of its series in its grade."""


@dataclass(frozen=True, slots=True)
class Case:
    """One lot with all that its mark rests on."""

    lot: Lot
    reading: Reading
    match: Match
    wants: tuple[Want, ...]
    priced: Priced
    worth: Worth
    ceiling: tuple[Money, Want] | None
    doubt: Doubt
    last_word: str
    """Why its price is not the last one yet; empty where it is, or so near the end that it says something."""
    worth_it: float | None
    """Chance that it is worth its cost with the margin asked, if it is genuine; None where nothing can be said."""

    @property
    def cost(self) -> Decimal | None:
        """All-in cost in home currency, as the only lot of its parcel."""
        return self.priced.all_in.amount if self.priced.all_in else None

    @property
    def compared(self) -> Decimal | None:
        """The cost that is held against the value: before postage where the value is, else all in."""
        found = compared(self.priced, self.worth)
        return found.amount if found else None

    @property
    def value(self) -> Band | None:
        """What it is worth."""
        return self.worth.value

    @property
    def chance(self) -> float | None:
        """Chance that it is genuine and worth its cost with the margin asked."""
        return None if self.worth_it is None else self.worth_it * (1 - self.doubt.p_fake)


def compared(priced: Priced, worth: Worth) -> Money | None:
    """The cost that means the same as the value: before postage, or all in."""
    band = worth.value or worth.band
    return priced.before if band is not None and band.kind == "before postage" else priced.all_in


FINAL = ("fixed", "ended")
"""Kinds of prices that no bid raises."""
PRICE_SIGN = timedelta(hours=12)
"""In its last hours an open auction's current bid says something of what is sold there."""


TOO_EARLY = "Too early to judge"


def not_yet(lot: Lot, now: datetime, every: timedelta, gathered: datetime | None) -> str:
    """Why the price of a lot is not one to act on; empty for a final price, and for the current bid of an auction that
    closes before the next usual gather, seen at this gather."""
    if lot.price_kind in FINAL:
        return ""
    if lot.price_kind == "estimate":
        return "An estimate is not a price: bids will tell."
    if lot.closes is None:
        return f"{TOO_EARLY}: the closing time is unknown, and bids will rise."
    if lot.closes < now:
        return "The auction is over; its hammer price is not known yet."
    if lot.closes - now > every:
        return f"{TOO_EARLY}: it closes after your next gather, and bids will rise."
    if gathered is not None and lot.last_seen is not None and lot.last_seen < gathered:
        return "Its current bid was not seen at the last gather, so no Bargain is said."
    return ""


def when_over(judged: Judgement) -> Judgement:
    """What was thought of a lot while it was open, as it reads once its sale is over: too early it is no more."""
    also = tuple(each for each in judged.also if each != "early")
    return replace(judged, also=also, reasons=tuple(e for e in judged.reasons if not e.text.startswith(TOO_EARLY)))


def closes_soon(lot: Lot, now: datetime) -> bool:
    """In its last 12 hours, and not over."""
    return lot.closes is not None and timedelta(0) <= lot.closes - now <= PRICE_SIGN
