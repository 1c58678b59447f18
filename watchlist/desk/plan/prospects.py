"""The lots that a plan may bid for, with the bids that may be left on each, and why the others are passed over."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from math import prod

from watchlist.core.decisions.bids import moment
from watchlist.core.fees.costs import bid_limit
from watchlist.core.money.amount import Money
from watchlist.core.parcels.costs import as_shared, fixed_cost, parcel_amount
from watchlist.core.parcels.outcomes import Sent
from watchlist.core.plan.hammers import likely
from watchlist.core.plan.offers import Likely, Rung, rungs_of
from watchlist.core.plan.standing import Once
from watchlist.core.sift.filter import Filter
from watchlist.desk.desk import Desk
from watchlist.desk.errors import DeskError
from watchlist.desk.in_hand.committed import either_or, needs
from watchlist.desk.in_hand.hands import Hands, InHand, hammered, hands, sale_day, sent_by
from watchlist.shelf.store.rows import LotRow

PASSED = {
    "copy": "marked Copy",
    "doubt": "doubtful: check it first",
}
"""Marks of lots that no plan bids for."""


@dataclass(frozen=True, slots=True)
class Prospect:
    """A lot that may be bid for."""

    row: LotRow
    ceiling: Decimal
    """Home currency."""
    group: str
    """The either-or group or the want that it serves."""
    parcel: str
    sent: Sent
    open: bool
    """A piece of its parcel is won."""
    alone_in: bool
    """No other lot in hand or thought of shares its parcel."""
    limit: Money
    """The highest bid that may be left, sale currency."""
    likely: Likely
    start: Decimal
    """The lowest bid taken now; 0 without one."""
    day: date | None

    @property
    def key(self) -> str:
        """The lot's key."""
        return self.row.lot.key

    @property
    def closes(self) -> float:
        """When it closes, for an order."""
        return moment(self.row.lot.closes)


@dataclass(frozen=True, slots=True)
class Passed:
    """A lot that was looked at and passed over."""

    row: LotRow
    why: str


@dataclass(frozen=True, slots=True)
class Field:
    """All that a plan has to choose from."""

    prospects: tuple[Prospect, ...]
    passed: tuple[Passed, ...]
    takes: Mapping[str, int]
    """How many of each group are still needed."""
    hands: Hands
    once: Mapping[str, Once]
    """What each parcel costs once; less where that is spent or promised already."""
    stays: tuple[InHand, ...]
    """What is in hand whatever is chosen: wins, bids placed, and planned ones that there is no other bid for."""


def field(desk: Desk, until: date | None, *, shared: bool = False, squeeze: Decimal = Decimal(1)) -> Field:
    """The lots of the wants that can be bid for until a day.

    `shared`: bids may go up to the limit that counts on another piece of the parcel being won. `squeeze`: every ceiling
    is multiplied by it."""
    return field_of(desk, list(_open_wanted(desk, until)), shared=shared, squeeze=squeeze)


def field_of(desk: Desk, rows: Sequence[LotRow], *, shared: bool = False, squeeze: Decimal = Decimal(1)) -> Field:
    """The same over lots that are named; of those with one `ceiling_want` that is no want one is needed."""
    found = hands(desk, rows)
    fixed = frozenset(name for name, each in found.lots.items() if each.stands != "planned")
    groups = either_or(desk)
    crowd = Counter(found.of[key] for key in {*found.lots, *(row.lot.key for row in rows)})
    looked = [
        _prospect(desk, row, _Case(found, _group(row, groups), crowd, shared, squeeze))
        for row in rows
        if row.lot.key not in fixed
    ]
    prospects = tuple(each for each in looked if isinstance(each, Prospect))
    passed = tuple(each for each in looked if isinstance(each, Passed))
    takes = dict(needs(desk, found)) | _wanted(desk, rows, found)
    moving = {*groups, *(each.key for each in prospects)}  # of a group another lot may win
    stays = tuple(each for key, each in found.lots.items() if each.stands != "planned" or key not in moving)
    return Field(prospects, passed, takes, found, _onces(desk, prospects, stays, found), stays)


def _onces(desk: Desk, prospects: Iterable[Prospect], stays: Iterable[InHand], found: Hands) -> dict[str, Once]:
    """What each parcel costs once, beside what is in hand."""
    beside: dict[str, list[InHand]] = {}
    for each in stays:
        beside.setdefault(found.of[each.key], []).append(each)
    return {each.parcel: _once(desk, each, beside.get(each.parcel, ())) for each in prospects}


def _once(desk: Desk, each: Prospect, beside: Sequence[InHand]) -> Once:
    """What a lot's parcel costs once; nothing where that is spent or the lot's own. Where a bid promises it already no
    budget is asked again, and it is lost only if that bid does not win."""
    if each.open or each.alone_in:
        return Once()
    cost = fixed_cost(each.sent.terms, each.sent.money)
    none = prod(1 - _chance(desk, other, each.sent) for other in beside)
    return Once(0 if beside else int(cost * 100), float(cost) * none)


def _chance(desk: Desk, each: InHand, sent: Sent) -> float:
    """Of a bid in hand to win; 0 where no band tells."""
    row = desk.shelf.store.lots.get(each.key) if each.price.currency == sent.terms.currency else None
    told = likely_price(row, sent) if row is not None else None
    return told.reached(float(each.price.amount)) if told and each.lot.price_kind != "fixed" else 0.0


def rungs(desk: Desk, each: Prospect) -> list[Rung]:
    """The prices that a lot may be won at, up to its limit. A lot alone in its parcel carries all of it itself."""
    terms, money = each.sent.terms, each.sent.money
    beside = terms if each.alone_in else as_shared(terms)

    def shared(bid: Decimal) -> Decimal:
        return parcel_amount(beside, (hammered(desk, each.row.lot, Money(bid, terms.currency)),), money)

    def alone(bid: Decimal) -> Decimal:
        return parcel_amount(terms, (hammered(desk, each.row.lot, Money(bid, terms.currency)),), money)

    return rungs_of(terms.ladder, each.likely, shared, alone, upto=each.limit.amount, start=each.start)


def _open_wanted(desk: Desk, until: date | None) -> Iterator[LotRow]:
    """Lots that serve a want, can still be had by bidding, and were not skipped."""
    store = desk.shelf.store
    if not desk.wants.by_id:
        raise DeskError("No wants to plan for: `watchlist want add` or `watchlist import wants FILE`.")
    wanted = Filter(open_at=desk.now, wants=tuple(desk.wants.by_id))
    lines = [line for line in store.listing.each(wanted) if line.state != "skipped" and line.kind != "fixed"]
    for row in store.lots.by_key(line.key for line in lines).values():
        day = sale_day(desk, row.lot)
        if until is None or (day is not None and day <= until):
            yield row


def _wanted(desk: Desk, rows: Sequence[LotRow], found: Hands) -> dict[str, int]:
    """How many pieces each want still needs beside what bids placed may win; those won fill it already."""
    bids = desk.shelf.store.lots.by_key(
        key for key, each in found.lots.items() if each.stands in ("placed", "undecided")
    )
    placed = Counter(filter(None, map(_want, bids.values())))
    named = {_want(row) for row in rows}
    return {
        id: max(want.quantity - want.filled - placed[id], 1 if want.upgrade else 0)
        for id, want in desk.wants.by_id.items()
        if id in named
    }


def _want(row: LotRow) -> str:
    judged = row.judgement
    return (judged.ceiling_want or next(iter(judged.wants), "")) if judged else ""


def _group(row: LotRow, groups: Mapping[str, str]) -> str:
    return groups.get(row.lot.key, "") or _want(row)


@dataclass(frozen=True, slots=True)
class _Case:
    """What a lot is looked at with."""

    hands: Hands
    group: str
    crowd: Mapping[str, int]
    """How many lots are in hand or thought of in each parcel."""
    shared: bool
    squeeze: Decimal


def _prospect(desk: Desk, row: LotRow, case: _Case) -> Prospect | Passed:
    lot, judged = row.lot, row.judgement
    if why := _passed(desk, row):
        return Passed(row, why)
    assert judged is not None
    assert judged.ceiling is not None
    assert judged.band is not None
    sent = sent_by(desk, lot.venue, desk.terms[lot.venue].currency)
    if sent is None:
        return Passed(row, f"no rate {desk.terms[lot.venue].currency} to {desk.home}: import rates")
    parcel, terms, money = case.hands.of[lot.key], sent.terms, sent.money
    opened, several = case.hands.sent[parcel].open, case.crowd[parcel] > 1
    ceiling = judged.ceiling.amount * case.squeeze
    own = as_shared(terms) if opened or (case.shared and several) else terms
    limit = bid_limit(own, ceiling, home=money.home, fx=money.fx).limit
    below = _so_far(row, terms.currency)
    start = terms.ladder.next_above(below) if below else Decimal(0)
    if limit is None:
        return Passed(row, "even the lowest bid exceeds your ceiling")
    if limit.amount < start:
        return Passed(row, f"current bid {lot.price}: the next bid is above your limit of {limit}")
    told = likely_price(row, sent)
    if told is None:
        return Passed(row, "fees alone are more than its band")
    day = sale_day(desk, lot)
    return Prospect(row, ceiling, case.group, parcel, sent, opened, not several, limit, told, start, day)


def likely_price(row: LotRow, sent: Sent) -> Likely | None:
    """What a lot may be sold for, by its band and its current bid; None where no band tells."""
    band = row.judgement.band if row.judgement else None
    return likely(band, sent.terms, sent.money, _so_far(row, sent.terms.currency)) if band else None


def _passed(desk: Desk, row: LotRow) -> str:
    """Why no bid on a lot is thought of; empty where one is."""
    judged = row.judgement
    if judged is None or judged.ceiling is None:
        return "its want has no ceiling"
    if judged.mark in PASSED:
        return PASSED[judged.mark]
    if judged.band is None:
        return "no band: its chance is not known"
    if row.lot.venue not in desk.terms:
        return f"no terms for {row.lot.venue}" if row.lot.venue else "the source has no venue"
    return ""


def _so_far(row: LotRow, currency: str) -> Decimal:
    """The current bid where the auction is under way, in the sale's currency; else 0."""
    price = row.lot.price
    if price is None or row.lot.price_kind != "so far" or price.currency != currency:
        return Decimal(0)
    return price.amount
