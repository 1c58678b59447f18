"""What a lot costs in the end, against what its issue brings in its grade."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace
from datetime import date, datetime
from decimal import Decimal
from functools import lru_cache
from typing import Protocol

from watchlist.core.coins.issue import Issue
from watchlist.core.fees.costs import BidLimit, all_in_amount, all_in_cost, bid_limit
from watchlist.core.fees.ladders import TermsError
from watchlist.core.fees.terms import Terms
from watchlist.core.lots.record import Lot
from watchlist.core.marks.pricesign import Part
from watchlist.core.marks.record import Want
from watchlist.core.money.amount import Money, Rates, cents
from watchlist.core.parcels.costs import before_postage
from watchlist.core.prices.bands import MarketState, answer, fair_value, series_key, series_row, value
from watchlist.core.prices.record import Band
from watchlist.core.prices.truegrades import Asked

BELIEVABLE = Decimal(10) ** 12
"""A price above this is no price of a coin but a slip or mischief."""
Z90 = 1.2816
"""Standard normal 90 per cent point: a band's edges lie this far from its middle."""


@dataclass(frozen=True, slots=True)
class Piece:
    """What the market is asked about: an issue in a grade range."""

    issue: Issue
    grade_low: int
    grade_high: int
    raw: bool
    problems: tuple[str, ...] = ()
    venue_kind: str = ""
    worded: bool = False
    """The grade is a word or a range."""
    traits: tuple[str, ...] = ()
    """What else is said of it, as `colour:RD`."""
    short: tuple[float, ...] | None = None
    """This seller's shares of over-grading, where outcomes tell them."""

    @property
    def asked(self) -> Asked:
        """What the market is asked, beside the issue."""
        low, high = self.grade_low, self.grade_high
        return Asked(
            low, high, self.raw, self.problems, self.venue_kind, self.worded, traits=self.traits, short=self.short
        )


class Market(Protocol):
    """Where bands come from."""

    def band(self, piece: Piece) -> Band | None:
        """The band of the next price of a piece; None when nothing is known of its series."""

    def value(self, piece: Piece) -> Band | None:
        """The band of what it is worth; None when nothing is known."""

    def worth(self, piece: Piece) -> tuple[Band | None, Sequence[Part]]:
        """The same with the fair-value distribution that it sums up; None and empty when nothing is known."""

    def series_middle(self, piece: Piece) -> Decimal | None:
        """What a usual issue of its series brings in its grade."""


@dataclass(frozen=True, slots=True)
class SavedMarket:
    """Bands from the saved market state."""

    state: MarketState
    _middles: dict[tuple[str, int, int, bool, str], Decimal | None] = field(
        init=False, repr=False, compare=False, default_factory=dict
    )
    """By series, grades, raw or not, and kind of venue: a few for each series."""

    def band(self, piece: Piece) -> Band | None:
        """The band of a piece; None in a series never seen."""
        return answer(self.state.header, self.state.row(piece.issue), piece.asked)

    def value(self, piece: Piece) -> Band | None:
        """The band of what a piece is worth; None in a series never seen."""
        return self.worth(piece)[0]

    def worth(self, piece: Piece) -> tuple[Band | None, Sequence[Part]]:
        """The same with its fair-value distribution."""
        header, row = self.state.header, self.state.row(piece.issue)
        parts = fair_value(header, row, piece.asked)
        return value(header, row, parts), parts

    def series_middle(self, piece: Piece) -> Decimal | None:
        """The middle of an issue of the series of which nothing else is known."""
        asked = (series_key(piece.issue), piece.grade_low, piece.grade_high, piece.raw, piece.venue_kind)
        if asked not in self._middles:
            plain = replace(piece, problems=(), traits=()).asked
            found = answer(self.state.header, series_row(self.state.header, piece.issue), plain)
            self._middles[asked] = found.mid if found else None
        return self._middles[asked]


class NoMarket:
    """Before the first prices: no band for anything."""

    def band(self, piece: Piece) -> Band | None:
        """None."""
        return None

    def value(self, piece: Piece) -> Band | None:
        """None."""
        return None

    def worth(self, piece: Piece) -> tuple[Band | None, Sequence[Part]]:
        """None, and nothing."""
        return None, ()

    def series_middle(self, piece: Piece) -> Decimal | None:
        """None."""
        return None


@dataclass(frozen=True, slots=True)
class Priced:
    """A lot's price with every fee."""

    all_in: Money | None
    """Home currency; None without a price or a rate, and `note` says why."""
    lines: tuple[tuple[str, str], ...] = ()
    note: str = ""
    before: Money | None = None
    """The same without what a parcel costs once and without postage: what bands before postage are compared with."""
    bare: bool = False
    """The price as it is written, without any fee: it makes no Bargain."""


def price_lot(lot: Lot, terms: Terms | None, rates: Rates, now: datetime, *, assumed: bool = False) -> Priced:
    """The all-in cost of a lot at its price now; of an ended one at its hammer price and the rates of that day.

    Without terms of the venue the price counts as it is written, and the note says so; `assumed` says that the terms
    are not the venue's own."""
    if lot.price is None:
        return Priced(None, note=lot.price_note or "no price is given")
    day = lot.closes.date() if lot.price_kind == "ended" and lot.closes is not None else now.date()
    found = price_at(lot.price, lot.venue, terms, rates, day)
    if not assumed or found.all_in is None:
        return found
    return replace(found, note="; ".join(filter(None, (f"fees assumed: {_no_terms(lot.venue)}", found.note))))


def _no_terms(venue: str) -> str:
    return f"no terms for {venue}" if venue else "the source has no venue"


def price_at(price: Money, venue: str, terms: Terms | None, rates: Rates, day: date) -> Priced:
    """The all-in cost of a price at a venue on a day."""
    if not 0 <= price.amount <= BELIEVABLE:
        return Priced(None, note="the price is implausible")
    if terms is None:
        home = rates.convert(price, day)
        note = (
            f"fees not included: {_no_terms(venue)}"
            if home
            else f"no exchange rate from {price.currency} to {rates.home}"
        )
        lines = (("price", str(price)), ("all_in", str(home))) if home else ()
        return Priced(home, lines, note, home, bare=True)
    hammer, note = _in_sale_currency(price, terms, rates, day)
    fx = rates.to_home_factor(terms.currency, day)
    if hammer is None or fx is None:
        missing = price.currency if hammer is None else terms.currency
        return Priced(None, note=f"no exchange rate from {missing} to {rates.home}")
    try:
        cost = all_in_cost(terms, hammer, home=rates.home, fx=fx)
        before = Money(all_in_amount(before_postage(terms), hammer, home=rates.home, fx=fx), rates.home)
    except TermsError as trouble:
        return Priced(None, note=str(trouble))
    return Priced(cost.all_in, tuple((name, str(amount)) for name, amount in cost.lines), note, before)


def _in_sale_currency(price: Money, terms: Terms, rates: Rates, day: date) -> tuple[Decimal | None, str]:
    """The price in the venue's own currency, with a note when it had to be exchanged."""
    if price.currency == terms.currency:
        return price.amount, ""
    theirs, ours = rates.to_home_factor(terms.currency, day), rates.to_home_factor(price.currency, day)
    if theirs is None or ours is None:
        return None, ""
    return cents(price.amount * ours / theirs), f"price in {price.currency}, terms in {terms.currency}: exchanged first"


def ceiling_of(wants: Iterable[Want], rates: Rates, day: date) -> tuple[Money, Want] | None:
    """The highest ceiling of the wants a lot answers, home currency, with its want; None without one."""
    found = [(home, want) for want in wants if want.ceiling and (home := rates.convert(want.ceiling, day))]
    return max(found, key=lambda pair: pair[0].amount, default=None)


def limit_at(terms: Terms | None, ceiling: Money, rates: Rates, day: date) -> BidLimit | None:
    """The bid limit at a venue for a ceiling in home currency; None without terms or rate."""
    fx = rates.to_home_factor(terms.currency, day) if terms is not None else None
    return _limit(terms, ceiling.amount, rates.home, fx) if terms is not None and fx is not None else None


def no_limit(lot: Lot, terms: Terms | None, rates: Rates, day: date) -> str:
    """What a bid limit lacks: terms or a rate; empty when it can be reckoned, be it that no bid keeps under it."""
    if terms is None:
        return _no_terms(lot.venue)
    if rates.to_home_factor(terms.currency, day) is None:
        return f"no exchange rate from {terms.currency} to {rates.home}"
    return ""


@lru_cache(maxsize=4096)
def _limit(terms: Terms, ceiling: Decimal, home: str, fx: Decimal) -> BidLimit:
    return bid_limit(terms, ceiling, home=home, fx=fx)


def own_band(wants: Iterable[Want], rates: Rates, day: date, kind: str) -> Band | None:
    """The band a person typed for the first of the wants that has one; its middle is the geometric mean."""
    for want in wants:
        low = rates.convert(want.low, day) if want.low else None
        high = rates.convert(want.high, day) if want.high else None
        if low and high and 0 < low.amount <= high.amount:
            middle = cents((low.amount * high.amount).sqrt())
            return Band(low.amount, middle, high.amount, rates.home, kind, 0, None, "own")
    return None


def band_parts(band: Band) -> tuple[Part, ...]:
    """A typed band as one log-normal part."""
    spread = float((band.high / band.low).ln()) / (2 * Z90)
    return ((1.0, float(band.mid.ln()), max(spread, 0.05)),)


def gap(all_in: Money | None, band: Band | None) -> Decimal | None:
    """All-in cost over a band's median, less one, four decimals: -0.18 is 18 per cent under."""
    if all_in is None or band is None or band.mid <= 0 or all_in.currency != band.currency:
        return None
    return (all_in.amount / band.mid - 1).quantize(Decimal("0.0001"))


def is_open(lot: Lot, now: datetime) -> bool:
    """The price can still rise: a bid so far, or an auction with an estimate only."""
    if lot.price_kind == "so far":
        return True
    return lot.price_kind in (None, "estimate") and lot.closes is not None and lot.closes > now
