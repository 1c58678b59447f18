"""A lot as the scenario plans it, and what it becomes: title, price, closing time, and the truth about it."""

from __future__ import annotations

import random
from dataclasses import dataclass, field
from datetime import datetime
from decimal import Decimal

from scenario import titles
from scenario.coins import Coin
from scenario.market import TODAY, value
from scenario.prices import certificate, listed_price
from scenario.venues import BRANNENTAL, LINDMOOR, OSTRELL, WEXBY, Rates, Venue, all_in, hammer_for

VENUE_OF = {
    "lindmoor": LINDMOOR,
    "lindmoor-evening": LINDMOOR,
    "wexby": WEXBY,
    "ostrell": OSTRELL,
    "brannental": BRANNENTAL,
}


@dataclass(frozen=True, slots=True)
class Plan:
    """What the story wants of one lot."""

    source: str
    kind: str
    """Truth: honest, bargain, over, overgraded, problem, copy, fake, many, other, unreadable."""
    coin: Coin | None = None
    grade: int = 0
    """The true grade; of a fake, the grade its look would have."""
    stated: int = 0
    """The seller's grade; 0: as the true one."""
    held: str = ""
    """The service whose holder it is in."""
    cert: str = ""
    problem: str = ""
    ratio: float = 1.0
    """All-in cost now against the fair value of the piece as stated."""
    fixed: bool = False
    closes: datetime | None = None
    words: bool = False
    """The grade is given as a word, not as a number."""
    talk: str = ""
    """A sentence of the seller's, put into the description."""
    extra: str = ""
    """Words put into the title."""
    title: str = ""
    """The whole title, where the story needs it word for word."""
    spot: tuple[str, int, str] | None = None
    """Denomination, year and mint of a piece that was never struck."""
    cost: float = 0.0
    """All-in cost, for lots that are no piece of ours."""
    weight: str = ""
    seller: str = ""
    ratings: int | None = None
    quantity: int = 1
    sign: str = ""
    """The chief sign of a fake: price, never struck, certificate, weight, seller."""
    listed: str = "both"
    """Snapshots it stands in: both, today, yesterday."""
    no_price: bool = False
    closes_text: str = ""
    note: str = ""
    """A word for the tests: hostile, wide, no price, bad time, relist ..."""


@dataclass(frozen=True, slots=True)
class Lot:
    """A lot ready for its feed."""

    plan: Plan
    id: str
    title: str
    price: Decimal | None
    earlier: Decimal | None
    """The price of the day before."""
    text: str
    """Description without price and time."""
    grade_text: str
    seller: str
    ratings: int
    truth: dict[str, object] = field(default_factory=dict)


def worth(plan: Plan) -> float:
    """Fair all-in price of the piece as it truly is; nothing for a copy or a fake."""
    if plan.coin is None or plan.kind in ("copy", "fake"):
        return 0.0
    return value(plan.coin, plan.grade, raw=not plan.held, problem=plan.problem) * plan.quantity


def as_stated(plan: Plan) -> float:
    """What the piece would be worth if it were what the seller says; the cost itself for things without a value."""
    if plan.coin is None or plan.cost:
        return plan.cost
    grade = plan.stated or plan.grade
    return value(plan.coin, grade, raw=not plan.held, problem=plan.problem) * plan.quantity


def make(rng: random.Random, plan: Plan, number: str, rates: Rates) -> Lot:
    """Price, title, seller and truth of one plan."""
    venue = VENUE_OF[plan.source]
    fx = rates.per_euro(venue.currency, TODAY)
    price = listed_price(venue, hammer_for(venue, as_stated(plan) * plan.ratio, fx))
    earlier = listed_price(venue, max(price * _yesterday(rng, plan), Decimal(1)))
    cert = plan.cert or (certificate(rng, plan.held) if plan.held else "")
    written = titles.write(rng, plan, cert)
    name, count = plan.seller or titles.seller(rng), plan.ratings
    now, before = (None, None) if plan.no_price else (price, earlier)
    lot = Lot(
        plan,
        number,
        written.title,
        now,
        before,
        written.text,
        written.grade,
        name,
        rng.randrange(40, 4200) if count is None else count,
    )
    lot.truth.update(_truth(lot, venue, fx, cert))
    return lot


def _yesterday(rng: random.Random, plan: Plan) -> Decimal:
    """Yesterday's price over today's: bids rise, now and then a fixed price comes down."""
    if not plan.fixed:
        return Decimal(str(round(rng.uniform(0.55, 0.9), 2)))
    return Decimal("1.12") if plan.kind == "over" and rng.random() < 0.3 else Decimal(1)


def _truth(lot: Lot, venue: Venue, fx: Decimal, cert: str) -> dict[str, object]:
    plan = lot.plan
    spot = plan.spot or ((plan.coin.denomination, plan.coin.year, plan.coin.mint) if plan.coin else None)
    out: dict[str, object] = {
        "kind": plan.kind,
        "sign": plan.sign,
        "note": plan.note,
        "listed": plan.listed,
        "issue": plan.coin.key if plan.coin and not plan.spot else None,
        "denomination": spot[0] if spot else None,
        "year": spot[1] if spot else None,
        "mint": spot[2] if spot else None,
        "true_grade": plan.grade if worth(plan) else None,
        "stated_grade": plan.stated or plan.grade or None,
        "certified": bool(plan.held),
        "service": plan.held or None,
        "cert_number": cert or None,
        "problem": plan.problem or None,
        "quantity": plan.quantity,
        "fixed": plan.fixed,
        "fair_value": round(worth(plan), 2) if plan.coin else None,
        "value_as_stated": round(as_stated(plan), 2) if plan.coin and not plan.cost else None,
        "price": str(lot.price) if lot.price is not None else None,
        "currency": venue.currency,
        "all_in": str(all_in(venue, lot.price, fx)) if lot.price is not None else None,
        "closes": plan.closes.isoformat() if plan.closes else None,
    }
    return out
