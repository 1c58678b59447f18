"""Why bids cost more than a ceiling or a budget allow, parcels, groups and budgets with dates included."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import NamedTuple

from watchlist.core.decisions.bids import BidRow
from watchlist.core.money.amount import Money
from watchlist.core.parcels.costs import lot_costs, worst_hammer
from watchlist.desk.desk import Desk
from watchlist.desk.in_hand import bidding
from watchlist.desk.in_hand.committed import season
from watchlist.desk.in_hand.hands import Hands, InHand, hammered, hands, sale_day
from watchlist.desk.naming import short_key
from watchlist.page import dear as sentences
from watchlist.shelf.store.rows import LotRow


class TooDear(NamedTuple):
    """A ceiling or a budget that a bid goes beyond."""

    why: str
    alone: bool = False
    """Only where no other lot of its parcel is won: with shared postage it is inside the ceiling."""


def too_dear(desk: Desk, rows: Sequence[LotRow], amount: Money | None, listed: Sequence[BidRow]) -> Iterator[TooDear]:
    """A sentence for each ceiling and each budget that bids on these lots go beyond; what was promised before is not
    asked again."""
    found = hands(desk, rows)
    bids = {row.lot.key: bid for row in rows if (bid := bidding.new_bid(desk, row, amount, listed)) is not None}
    for row in rows:
        if row.lot.key in bids:
            yield from _over_ceiling(desk, row, bids[row.lot.key], found)
    for why in _over_budget(desk, rows, bids, found):
        yield TooDear(why)


def _over_ceiling(desk: Desk, row: LotRow, bid: Money, found: Hands) -> Iterator[TooDear]:
    """Alone, and where another piece of the parcel is won, beside that one."""
    ceiling = row.judgement.ceiling if row.judgement else None
    parcel = found.of[row.lot.key]
    sent = found.sent.get(parcel)
    if ceiling is None or sent is None:
        return
    cost = lot_costs(sent.terms, worst_hammer(sent.terms, hammered(desk, row.lot, bid)), sent.money)
    shared_fits = cost.shared <= ceiling.amount
    if cost.alone <= ceiling.amount or (sent.open and shared_fits):
        return
    others = found.beside(row.lot.key)
    alone = Money(cost.alone, desk.home)
    if others and shared_fits:
        keys = [short_key(desk.shelf.store, key) for key in others]
        yield TooDear(sentences.if_lost(keys, alone, Money(cost.alone - ceiling.amount, desk.home)), alone=True)
    else:
        yield TooDear(sentences.above_ceiling(row.lot.key, alone, ceiling))


def _over_budget(desk: Desk, rows: Sequence[LotRow], bids: dict[str, Money], found: Hands) -> Iterator[str]:
    """Each budget that is left below 0 by the new bids."""
    new = {
        row.lot.key: InHand(row.lot, "planned", "planned", bids[row.lot.key], sale_day(desk, row.lot))
        for row in rows
        if row.lot.key in bids
    }
    if not new:
        return
    others = {key: each for key, each in found.lots.items() if key not in new}
    before = {held.name: held.left for held in season(desk, found=replace(found, lots=others))}
    for held in season(desk, found=replace(found, lots={**others, **new})):
        if held.left < 0 and held.left < before.get(held.name, held.left):
            yield sentences.above_budget(held, desk.home)
