"""A bid of the list: what it may cost, and what to look out for."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from itertools import pairwise
from typing import Literal, NamedTuple

from watchlist.core.decisions import life
from watchlist.core.decisions.review import Stage, Standing
from watchlist.core.fees.terms import Terms
from watchlist.core.lots.record import Lot
from watchlist.core.marks.record import Judgement
from watchlist.core.marks.valuation import price_at
from watchlist.core.money.amount import Money, Rates

CLASH = timedelta(minutes=10)
"""Two lots that close within this time are hard to attend both."""


@dataclass(frozen=True, slots=True)
class BidRow:
    """One bid of the list. Money is in home currency unless its currency says otherwise."""

    lot: str
    title: str
    venue: str
    closes: datetime | None
    stage: Stage
    wants: tuple[str, ...]
    bid: Money | None
    """The bid, or the fixed price or offer; sale currency."""
    limit: Money | None
    """The bid limit of the ceiling, sale currency; None for a fixed price or without a ceiling."""
    all_in: Money | None
    """Cost of winning at the bid."""
    worst: Money | None
    """The largest cost of winning at the bid or below it."""
    ceiling: Money | None
    warnings: tuple[str, ...] = ()
    ended: bool = False
    """Its sale is over, and nobody said yet whether it was won."""
    fell: Money | None = None
    """What an ended lot fell for, where its source says so; sale currency."""
    unsold: bool = False
    """Its source says that nobody bought it."""
    placed: Money | None = None
    """A bid that is placed and committed, where another amount is planned; sale currency."""
    binding: bool = True
    """Whether the budget holds money for it: an outbid one frees it, and one that was never placed in time."""


def bid_row(
    lot: Lot, judgement: Judgement, standing: Standing | None, terms: Terms | None, rates: Rates, now: datetime
) -> BidRow:
    """One row of the bid list; the bid is the person's own, else the bid limit, else the fixed price."""
    limit = judgement.bid_limit
    fixed = lot.price if lot.price_kind == "fixed" else None
    bid = (standing.amount if standing else None) or limit or fixed
    all_in = price_at(bid, lot.venue, terms, rates, now.date()).all_in if bid else None
    placed = standing.placed if standing and standing.placed != bid else None
    over = has_ended(lot, now) and not (standing and standing.after_sale)
    promised = life.promised(standing, bid, over=over)
    worst = [worst_case(each, lot.venue, terms, rates, now.date()) for each in promised]
    row = BidRow(
        lot.key,
        lot.title,
        lot.venue,
        lot.closes,
        life.stage_now(standing, over=over),
        judgement.wants,
        bid,
        limit,
        all_in,
        max(filter(None, worst), key=lambda cost: cost.amount, default=None),
        judgement.ceiling,
        ended=over,
        fell=lot.price if lot.price_kind == "ended" else None,
        unsold=lot.unsold,
        placed=placed,
        binding=life.binds(standing, over=over),
    )
    return row if row.ended else replace(row, warnings=tuple(_row_warnings(row, lot, standing, terms)))


class Against(NamedTuple):
    """How a bid that the venue has stands against the current bid."""

    how: Literal["outbid", "outbid?", "level"]
    """`outbid`: it cannot lead any more, for no price is above the leader's own maximum. `outbid?`: so if the venue has
    the smaller of two amounts. `level`: it leads only if it came first."""
    bid: Money
    """What the venue has; sale currency."""


AGAINST: Mapping[str, str] = {
    "outbid": "at {price}, your placed bid {bid}: outbid",
    "outbid?": "at {price}, your placed bid {bid}: outbid?",
    "level": "at {price}, as much as your placed bid: it leads only if it came first",
}
"""What is said of it, on the list and in the morning."""


def against(lot: Lot, standing: Standing | None) -> Against | None:
    """Whether a placed bid can still lead; None without one, and while the current bid is below it."""
    had = (standing.placed, standing.acknowledged) if standing and standing.placed else ()
    bids = sorted((each for each in had if each), key=lambda bid: bid.amount)
    price = lot.price
    if price is None or not bids or lot.price_kind not in ("so far", "ended"):
        return None
    if any(each.currency != price.currency for each in bids):
        return None
    least, most = bids[0], bids[-1]
    if price.amount > most.amount and lot.bid_seen:
        return Against("outbid", most)
    if price.amount > least.amount:
        return Against("outbid?", least)
    return Against("level", most) if price.amount == least.amount and lot.price_kind == "so far" else None


def has_ended(lot: Lot, now: datetime) -> bool:
    """The lot can be had no more."""
    return lot.price_kind == "ended" or (lot.closes is not None and lot.closes <= now)


def worst_case(bid: Money | None, venue: str, terms: Terms | None, rates: Rates, day: date) -> Money | None:
    """The largest cost of winning at a bid or anywhere below: whole-price tiers can make a lower price dearer."""
    if bid is None:
        return None
    prices = [bid]
    if terms is not None and terms.currency == bid.currency:
        prices += [Money(edge, bid.currency) for edge in terms.premium.edges if edge < bid.amount]
    costs = [price_at(price, venue, terms, rates, day).all_in for price in prices]
    return max((cost for cost in costs if cost), key=lambda cost: cost.amount, default=None)


def _row_warnings(row: BidRow, lot: Lot, standing: Standing | None, terms: Terms | None) -> Iterable[str]:
    if row.bid is None:
        yield "no amount yet: type one, or give the want a ceiling"
    elif row.worst is None:
        yield "its cost is unknown: no exchange rate"
    elif row.ceiling is None:
        yield "no ceiling: no want matches this lot"
    elif row.worst.amount > row.ceiling.amount:
        yield f"could cost up to {row.worst}, above your ceiling of {row.ceiling}"
    if row.placed is not None:
        yield f"a bid of {row.placed} is placed and committed"
    if terms is None and row.bid is not None:
        yield "fees not included: no terms for its venue"
    if (stands := against(lot, standing)) is not None:
        yield AGAINST[stands.how].format(price=lot.price, bid=stands.bid)
    elif lot.price_kind == "so far" and lot.price and row.bid and _above(lot.price, row.bid):
        yield f"the current bid is above yours: {lot.price}"


def _above(price: Money, bid: Money) -> bool:
    return price.currency == bid.currency and price.amount > bid.amount


def moment(closes: datetime | None) -> float:
    """When a lot closes, for an order; one without a time comes last."""
    return closes.timestamp() if closes else float("inf")


def close_together(rows: Sequence[BidRow]) -> list[BidRow]:
    """Rows that close within 10 minutes of another one."""
    timed = sorted((row for row in rows if row.closes), key=lambda row: moment(row.closes))
    found: dict[str, BidRow] = {}
    for one, other in pairwise(timed):
        if one.closes and other.closes and other.closes - one.closes <= CLASH:
            found |= {one.lot: one, other.lot: other}
    return list(found.values())


def same_want(rows: Sequence[BidRow]) -> dict[str, list[str]]:
    """Wants that more than one bid would fill, with the lots."""
    lots: dict[str, list[str]] = defaultdict(list)
    for row in rows:
        for want in row.wants:
            lots[want].append(row.lot)
    return {want: found for want, found in lots.items() if len(found) > 1}
