"""The bids that stand, and what speaks against one."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from decimal import Decimal

from watchlist.core.decisions.bids import BidRow, bid_row, moment, worst_case
from watchlist.core.decisions.review import PROVISIONAL, Verb
from watchlist.core.money.amount import Money
from watchlist.desk.desk import Desk
from watchlist.desk.judging import relisting
from watchlist.shelf.store.rows import LotRow

OLD_TERMS = 365
"""Days after which a venue's terms are asked about before a bid."""
PLACE_ANEW = "relisted: place your bid again"


def rows(desk: Desk) -> list[BidRow]:
    """Every bid that is planned, placed or outbid, and every fixed-price piece to buy; closing soonest first."""
    store = desk.shelf.store
    standing = store.decisions.review().lots
    anew = relisting.to_place_anew(store, standing)
    found = []
    for key, stands in standing.items():
        open_bid = stands.state == "bid" or stands.stage == PROVISIONAL
        row = store.lots.get(key) if open_bid else None
        if row is not None and row.judgement is not None:
            terms = desk.terms.get(row.lot.venue)
            stands = relisting.placed_before(stands) if key in anew else stands
            made = bid_row(row.lot, row.judgement, stands, terms, desk.rates, desk.now)
            found.append(replace(made, warnings=(*made.warnings, PLACE_ANEW)) if key in anew else made)
    return sorted(found, key=lambda row: (moment(row.closes), row.lot))


def sale_currency(desk: Desk, row: LotRow) -> str:
    """The currency of the sale: the venue's, else the lot's, else one's own."""
    terms = desk.terms.get(row.lot.venue)
    return (terms.currency if terms else None) or (row.lot.price.currency if row.lot.price else desk.home)


def first_bid(desk: Desk, row: LotRow) -> tuple[Decimal | None, str]:
    """The amount to begin from when one is asked, and its currency: the bid that stands, the limit, else one step above
    the bid so far."""
    terms, price, currency = desk.terms.get(row.lot.venue), row.lot.price, sale_currency(desk, row)
    standing = desk.shelf.store.decisions.review().lots.get(row.lot.key)
    for stands in (standing.amount if standing else None, row.judgement.bid_limit if row.judgement else None):
        if stands is not None and stands.currency == currency:
            return stands.amount, currency
    if price is None or price.currency != currency or row.lot.price_kind != "so far" or terms is None:
        return None, currency
    return terms.ladder.next_above(price.amount), currency


def doubtful_terms(desk: Desk, venue: str, *, steps: bool = True) -> str:
    """Why one should look at a venue's terms before a bid; empty where they are stated and not a year old.

    `steps`: prices rise by increments, as they do not where all is offered at a fixed price."""
    terms = desk.terms.get(venue)
    if terms is None:
        return ""
    if terms.checked is not None and (desk.local_today() - terms.checked).days > OLD_TERMS:
        return f"the terms of {venue} were compared on {terms.checked}, more than a year ago: compare them with its own"
    if steps and terms.ladder.assumed:
        return f"the increments of {venue} are assumed: limits may move a step"
    return ""


def new_bid(desk: Desk, row: LotRow, amount: Money | None, listed: Sequence[BidRow]) -> Money | None:
    """What is newly promised by a bid on a lot; None where as much was promised before, or its cost is not known."""
    stands, bid = _standing(row, listed), _bid(row, amount, listed)
    worst = worst_case(bid, row.lot.venue, desk.terms.get(row.lot.venue), desk.rates, desk.now.date())
    return None if worst is None or _binds_already(stands, worst) else bid


def _binds_already(stands: BidRow | None, worst: Money) -> bool:
    """As much was promised for the lot before."""
    if stands is None or stands.worst is None or not (stands.binding or stands.ended):
        return False
    return worst.amount <= stands.worst.amount


def odd(rows: Sequence[LotRow], verb: Verb, amount: Money | None, listed: Sequence[BidRow]) -> Iterator[str]:
    """What speaks against bids that may be written all the same."""
    for row in rows:
        lot, bid = row.lot, _bid(row, amount, listed)
        if verb in ("bid", "placed") and lot.price_kind == "so far" and below(bid, lot.price):
            yield f"{lot.key} stands at {lot.price} already, above this bid of {bid}"
        elif verb == "bid" and bid == lot.price and lot.price_kind == "so far" and lot.bid_seen and row.state != "bid":
            yield f"{lot.key} stands at {lot.price} already: the same bid left later cannot lead"


def below(amount: Money | None, other: Money | None) -> bool:
    """Whether an amount is less than another of the same currency; False where one is not known."""
    if amount is None or other is None or amount.currency != other.currency:
        return False
    return amount.amount < other.amount


def _bid(row: LotRow, amount: Money | None, listed: Sequence[BidRow]) -> Money | None:
    """What is bid: the amount given, else what stands, else the limit."""
    stands = _standing(row, listed)
    limit = row.judgement.bid_limit if row.judgement else None
    return amount or (stands.bid if stands else limit) or row.lot.price


def _standing(row: LotRow, listed: Sequence[BidRow]) -> BidRow | None:
    return next((each for each in listed if each.lot == row.lot.key), None)
