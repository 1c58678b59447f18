"""What is told of a bid before it is left: what it would stand at now, and the winner's curse."""

from __future__ import annotations

from decimal import Decimal
from math import exp, log

from watchlist.core.decisions.bids import has_ended
from watchlist.core.fees import proxy
from watchlist.core.money.amount import Money, cents
from watchlist.core.plan.curse import shaded
from watchlist.core.plan.hammers import hammer_of, spread_of
from watchlist.desk.desk import Desk
from watchlist.desk.in_hand.hands import sent_by
from watchlist.page import limits
from watchlist.shelf.store.rows import LotRow


def told(desk: Desk, row: LotRow) -> tuple[str, ...]:
    """The sentences on a lot: on the bid that stands, else on its bid limit."""
    standing = desk.shelf.store.decisions.review().lots.get(row.lot.key)
    limit = row.judgement.bid_limit if row.judgement else None
    planned = standing.amount if standing and standing.stage == "planned" else None
    free = standing is None or standing.stage in ("", "planned")
    return tuple(filter(None, (left_now(desk, row, planned or limit) if free else "", _allowing(desk, row))))


def left_now(desk: Desk, row: LotRow, bid: Money | None) -> str:
    """What a bid left now would stand at, by the current bid as last seen; empty where nothing can be said."""
    lot, terms = row.lot, desk.terms.get(row.lot.venue)
    if bid is None or lot.price is None or terms is None or lot.price_kind != "so far" or has_ended(lot, desk.now):
        return ""
    if not bid.currency == lot.price.currency == terms.currency:
        return ""
    at = proxy.left_now(bid.amount, lot.price.amount, terms.ladder, bid_seen=lot.bid_seen)
    if at is None:
        return ""
    price, stands = lot.price, Money(cents(at), bid.currency)
    return limits.left_now(bid, stands, price, bid_seen=lot.bid_seen, assumed=terms.ladder.assumed)


def _allowing(desk: Desk, row: LotRow) -> str:
    """The bid that allows for the winner's curse, where the limit is above it; empty for a band of one's own."""
    limit, value = (row.judgement.bid_limit, row.judgement.value) if row.judgement else (None, None)
    rivals = desk.settings.bids.rivals
    if limit is None or value is None or value.basis == "own" or not rivals or has_ended(row.lot, desk.now):
        return ""
    if row.judgement and row.judgement.doubt.copy:  # it is worth no median
        return ""
    sent = sent_by(desk, row.lot.venue, limit.currency)
    if sent is None or sent.terms.currency != limit.currency:
        return ""
    worth = cents(Decimal(exp(shaded(log(value.mid), spread_of(value.low, value.high), rivals + 1))))
    hammer = hammer_of(worth, value.kind, sent.terms, sent.money)
    rung = sent.terms.ladder.highest_upto(hammer) if hammer is not None else None
    if rung is None or rung >= limit.amount:
        return ""
    median = Money(value.mid, value.currency)
    return limits.allowing(Money(cents(rung), limit.currency), limit, rivals, median, worth)
