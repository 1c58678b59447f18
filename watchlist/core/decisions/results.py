"""Results back to prices realised; what was won and what it cost."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date

from watchlist.core.coins.finishes import with_grade
from watchlist.core.fees.terms import Terms
from watchlist.core.lots.record import Lot
from watchlist.core.marks.record import Judgement, Want
from watchlist.core.marks.valuation import price_at
from watchlist.core.money.amount import Money, Rates
from watchlist.core.prices.realised import PriceRealised
from watchlist.core.reading.record import Reading


@dataclass(frozen=True, slots=True)
class Purchase:
    """A piece bought, with what it cost in the end."""

    lot: str
    """Key of the lot."""
    title: str
    issue: str | None
    day: date
    price: Money
    """Hammer or fixed price, sale currency."""
    all_in: Money | None
    """Home currency at the day's rate; None when the rate is unknown."""
    cost_lines: tuple[tuple[str, str], ...]
    venue: str
    seller: str
    grade_low: int | None
    grade_high: int | None
    grade_text: str
    service: str
    cert_number: str
    want: str
    """The want it fills; empty when none."""
    p_fake: float | None = None
    """P(fake) before the piece came, for learning from outcomes; None for a disclosed copy."""
    note: str = ""


def to_price(
    lot: Lot, reading: Reading, issue: str | None, price: Money, day: date, traits: tuple[str, ...] = ()
) -> PriceRealised:
    """The price a lot fell for as a price realised: a hammer price (or fixed price) without fees."""
    reading = with_grade(reading)
    return PriceRealised(
        id=0,
        issue=issue or "",
        sale_date=day,
        price=price,
        kind="hammer",
        grade_low=reading.grade_low,
        grade_high=reading.grade_high,
        grade_text=reading.grade_text or "",
        certified=reading.certified,
        service=reading.service or "",
        cert_number=reading.cert_number or "",
        problems=reading.problems,
        venue=lot.venue,
        title=lot.title,
        quantity=max(reading.quantity or 1, 2) if reading.multiple else 1,
        replica=reading.replica,
        origin=lot.key,
        lot=lot.id,
        traits=traits,
    )


def to_purchase(
    lot: Lot, reading: Reading, judgement: Judgement, price: Money, day: date, terms: Terms | None, rates: Rates
) -> Purchase:
    """What was bought, with its cost by the venue's terms on the day of the sale."""
    reading = with_grade(reading)
    cost = price_at(price, lot.venue, terms, rates, day)
    want = judgement.ceiling_want or next(iter(judgement.wants), "")
    return Purchase(
        lot.key,
        lot.title,
        judgement.issue,
        day,
        price,
        cost.all_in,
        cost.lines,
        lot.venue,
        lot.seller,
        reading.grade_low,
        reading.grade_high,
        reading.grade_text or "",
        reading.service or "",
        reading.cert_number or "",
        want,
        None if judgement.doubt.copy else judgement.doubt.p_fake,
        cost.note,
    )


def fill(want: Want, bought: int) -> Want:
    """The want, of which the person keeps a number of pieces of their own, with those bought for it."""
    return replace(want, filled=max(0, want.filled + bought))


def own_number(want: Want, bought: int) -> Want:
    """The want as it is kept: `filled` without what was bought, so that the two together are what it says now."""
    return replace(want, filled=want.filled - bought)


def held(purchases: Iterable[Purchase]) -> tuple[Money | None, int]:
    """What all purchases cost together in home currency, and how many have no known cost."""
    costs = [bought.all_in for bought in purchases]
    known = [cost for cost in costs if cost is not None]
    total = Money(sum((cost.amount for cost in known[1:]), known[0].amount), known[0].currency) if known else None
    return total, len(costs) - len(known)
