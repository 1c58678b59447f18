"""Prices realised: what to keep, and what to set aside and why."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from operator import attrgetter
from typing import Protocol

from watchlist.core.fees.costs import all_in_amount, all_in_cost, hammer_within
from watchlist.core.fees.terms import Terms
from watchlist.core.money.amount import Money
from watchlist.core.parcels import costs


@dataclass(frozen=True, slots=True)
class PriceRealised:
    """One past sale as the person imported or recorded it."""

    id: int
    """Number in the store; 0 before it is stored."""
    issue: str
    """Key of the issue; empty when it could not be told."""
    sale_date: date
    price: Money
    kind: str
    """`hammer`, or `all-in` when fees are inside."""
    grade_low: int | None
    grade_high: int | None
    grade_text: str = ""
    certified: bool = False
    service: str = ""
    cert_number: str = ""
    problems: tuple[str, ...] = ()
    venue: str = ""
    status: str = "sold"
    title: str = ""
    quantity: int = 1
    replica: bool = False
    origin: str = ""
    """Where it came from: file and line, or the lot key of a recorded result."""
    weight: float = 1.0
    """The person's own weight, 0 to 1; 0 excludes the sale."""
    note: str = ""
    lot: str = ""
    """The lot's number at its venue, when it is given."""
    traits: tuple[str, ...] = ()
    """What else moves its value, as `colour:RD`."""


@dataclass(frozen=True, slots=True)
class Sale:
    """A price realised made ready for the market model: home currency, one grade, one day."""

    id: int
    issue: str
    grade: float
    """Number of the 70-point scale; the middle of a range, until the fit knows which numbers of it are usual."""
    price: float
    """Home currency, all-in or hammer as the setting says; above zero."""
    day: date
    raw: bool
    """No service holds the piece."""
    problem: str = ""
    """The kind of its worst problem, or empty."""
    venue_kind: str = "auction"
    weight: float = 1.0
    note: str = ""
    """What was assumed: `taken as given (hammer), fees not adjusted: no terms for Lindmoor Sales`."""
    span: tuple[int, int] | None = None
    """The ends of its grade, where that is a range."""
    traits: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class GuideRow:
    """A price guide's low and high for an issue and a grade range, in home currency."""

    issue: str
    grade_low: int
    grade_high: int
    low: float
    high: float
    day: date


@dataclass(frozen=True, slots=True)
class SetAside:
    """A price that stays out of the bands, and why, in one sentence."""

    price: PriceRealised
    reason: str


class Exchange(Protocol):
    """Monthly exchange rates, such as `core.money.amount.Rates`."""

    def to_home_factor(self, currency: str, when: date, /) -> Decimal | None:
        """Home units for one unit of the currency in the month of the day; None when unknown."""


def to_sale(
    price: PriceRealised, terms: Terms | None, rates: Exchange, *, home: str, kind: str, today: date
) -> Sale | SetAside:
    """Make a price realised ready for the market model, or set it aside with a reason.

    `kind` is what a band means: `all-in` puts the venue's fees on a hammer price, `hammer` takes them out of an all-in
    one, `before postage` counts all fees but postage and what a parcel costs once. Where the venue has no terms the
    price counts as written, and the sale's note says so."""
    if reason := unfit(price, today):
        return SetAside(price, reason)
    factor = Decimal(1) if price.price.currency == home else rates.to_home_factor(price.price.currency, price.sale_date)
    if factor is None:
        return SetAside(price, f"no exchange rate from {price.price.currency} to {home} near {price.sale_date:%Y-%m}")
    amount, note = in_kind(price, terms, factor, home=home, kind=kind)
    if amount <= 0:
        return SetAside(price, "the price is not above zero after exchange")
    assert price.grade_low is not None
    assert price.grade_high is not None
    return Sale(
        id=price.id,
        issue=price.issue,
        grade=(price.grade_low + price.grade_high) / 2,
        price=float(amount),
        day=price.sale_date,
        raw=not price.certified,
        problem=worst_problem(price.problems),
        venue_kind=(terms.kind if terms is not None else "") or "auction",
        weight=price.weight,
        note=note,
        span=(price.grade_low, price.grade_high) if price.grade_low != price.grade_high else None,
        traits=price.traits,
    )


def unfit(price: PriceRealised, today: date) -> str:
    """Why a price cannot count towards a band; empty when it can."""
    checks = (
        (not price.issue, "the issue could not be told"),
        (price.status.casefold() not in ("sold", ""), f"not a sale: {price.status}"),
        (price.replica, "a copy"),
        (price.quantity > 1, f"{price.quantity} pieces in one lot"),
        (price.grade_low is None or price.grade_high is None, "no grade"),
        (price.price.amount <= 0, "the price is not above zero"),
        (price.weight <= 0, "excluded by you"),
        (price.sale_date > today, f"the sale day {price.sale_date} is still to come"),
    )
    return next((why for wrong, why in checks if wrong), "")


def too_old(day: date, today: date, years: float) -> str:
    """Why a sale of this day counts no more, where prices count in full for so many years; empty when it counts."""
    return f"older than {3 * years:g} years" if (today - day).days > 365.25 * 3 * years else ""


class Priced(Protocol):
    """A price, what it holds (`hammer`, `all-in`), and its venue."""

    @property
    def price(self) -> Money:
        """The amount."""

    @property
    def kind(self) -> str:
        """`hammer` or `all-in`."""

    @property
    def venue(self) -> str:
        """Where; empty when it is not known."""


def in_kind(price: Priced, terms: Terms | None, factor: Decimal, *, home: str, kind: str) -> tuple[Decimal, str]:
    """The price in home currency, all-in or hammer as wanted, and a note where it had to count as written."""
    written = price.price.amount * factor
    if price.kind == kind:
        return written, ""
    venue = price.venue or "this venue"
    if terms is None:
        return written, f"taken as given ({price.kind}), fees not adjusted: no terms for {venue}"
    if terms.currency and terms.currency != price.price.currency:
        return (
            written,
            f"taken as given ({price.kind}), fees not adjusted: the terms of {venue} are in {terms.currency}",
        )
    if kind == "before postage":
        return _before(price, terms, factor, home)
    if kind == "all-in":
        return all_in_amount(terms, price.price.amount, home=home, fx=factor), ""
    hammer = hammer_of(terms, price.price.amount)
    if hammer is None:
        return written, f"taken as given (all-in): no hammer price at {venue} costs {price.price.amount}"
    return hammer * factor, ""


def _before(price: Priced, terms: Terms, factor: Decimal, home: str) -> tuple[Decimal, str]:
    """A price before postage: a hammer price with its fees, an all-in one less what a parcel costs once."""
    if price.kind == "hammer":
        return all_in_amount(costs.before_postage(terms), price.price.amount, home=home, fx=factor), ""
    once = costs.fixed_cost(terms, costs.Exchange(home, factor))
    return price.price.amount * factor - once, ""


def hammer_of(terms: Terms, all_in: Decimal) -> Decimal | None:
    """The hammer price, to the cent, whose cost in sale currency is the amount; None where none comes within half a
    per cent (the minimum fee alone is more, or whole-price tiers jump over it)."""
    hammer = hammer_within(terms, all_in)
    if hammer is None or hammer <= 0:
        return None
    return hammer if all_in - all_in_cost(terms, hammer).all_in.amount <= all_in / 200 else None


GRAVEST = (
    "altered", "holed", "mounted", "repaired", "clipped", "damaged", "bent", "env_damage", "chopmarked", "scratched",
    "polished", "rim_damage", "cleaned", "stained", "toning", "details",
)  # fmt: skip
"""Problem kinds, the one that costs most first (common practice)."""


def worst_problem(problems: Sequence[str]) -> str:
    """The gravest of several problems; empty without one."""
    known = [kind for kind in GRAVEST if kind in problems]
    return known[0] if known else problems[0] if problems else ""


def screen(prices: Iterable[PriceRealised]) -> tuple[list[PriceRealised], list[SetAside]]:
    """Set aside exact repeats, and of two otherwise equal rows at a ratio of 9.8 to 10.2 the higher one."""
    days: dict[tuple[str, date], list[PriceRealised]] = {}
    for price in prices:
        days.setdefault((price.issue, price.sale_date), []).append(price)
    kept, aside = [], []
    for same_day in days.values():
        if len(same_day) == 1:
            kept += same_day
        else:
            good, repeated = _screened(same_day)
            kept += good
            aside += repeated
    return sorted(kept, key=lambda row: (row.sale_date, row.id)), aside


def _screened(prices: Iterable[PriceRealised]) -> tuple[list[PriceRealised], list[SetAside]]:
    """Prices of one issue on one day."""
    kept: dict[tuple[object, ...], list[PriceRealised]] = {}
    aside: list[SetAside] = []
    for price in sorted(prices, key=lambda row: row.price.amount):  # a slip is then always the later one
        same = kept.setdefault(_all_but_price(price), [])
        if why := _repeats(price, same):
            aside.append(SetAside(price, why))
        else:
            same.append(price)
    return [price for same in kept.values() for price in same], aside


def _repeats(price: PriceRealised, others: Sequence[PriceRealised]) -> str:
    """Why a price does not count beside those that are equal to it in all but the price; empty where it does."""
    for other in others:
        if other.price.amount == price.price.amount:
            if price.lot and other.lot and price.lot != other.lot:  # two pieces brought the same
                continue
            return f"an exact repeat of {other.origin or 'another row'}"
        if other.price.amount > 0 and SLIP[0] <= price.price.amount / other.price.amount <= SLIP[1]:
            return f"ten times an otherwise equal row ({other.origin or other.price.amount}): a misplaced decimal point"
    return ""


SLIP = (Decimal("9.8"), Decimal("10.2"))
"""Ratio of two otherwise equal rows that tells a slip of the decimal mark."""


_SAME = attrgetter(
    "issue", "sale_date", "price.currency", "kind", "grade_low", "grade_high", "certified", "service", "cert_number",
    "problems", "status", "quantity",
)  # fmt: skip


def _all_but_price(row: PriceRealised) -> tuple[object, ...]:
    return (*_SAME(row), row.venue.casefold(), row.title.casefold())


def far_off(price: Decimal, middle: Decimal) -> str:
    """A sentence for a lone price some ten times off its band, for the person to look at; else empty. Nothing is
    changed."""
    if price <= 0 or middle <= 0:
        return ""
    ratio = price / middle
    if Decimal(1) / FAR < ratio < FAR:
        return ""
    times = f"{ratio:,.0f} times" if ratio > 1 else f"one {1 / ratio:,.0f}th of"
    return f"{times} the median of its band: check price, issue and currency"


FAR = Decimal(8)
"""A price this many times off the middle of its band is pointed out."""
