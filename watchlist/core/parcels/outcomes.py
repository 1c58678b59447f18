"""What a set of bids can cost at worst: of lots of which only some will be bought, the dearest outcome allowed."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from itertools import combinations, product
from math import comb, prod

from watchlist.core.fees.terms import Terms
from watchlist.core.fees.working import NOUGHT, Hammered
from watchlist.core.parcels.costs import Exchange, fixed_cost, lot_costs, parcel_amount, worst_hammer

MOST = 4096
"""Outcomes that are looked at one by one; where there are more, each group counts its dearest lots alone."""


@dataclass(frozen=True, slots=True)
class Sent:
    """The terms by which a parcel is costed."""

    terms: Terms
    money: Exchange
    open: bool = False
    """A piece of it is won: its own lots are among the bids, at their hammer prices."""


@dataclass(frozen=True, slots=True)
class Exposed:
    """One bid, or a piece won at its hammer price, as it counts towards the worst case."""

    lot: str
    parcel: str
    hammered: Hammered
    """At the bid, or at the price paid."""
    group: str = ""
    """Of lots of which only some will be bought; empty: it counts whatever becomes of the others."""


def worst_case(bids: Sequence[Exposed], parcels: Mapping[str, Sent], take: Mapping[str, int]) -> Decimal:
    """The dearest outcome that can come true, home currency. `take`: how many lots of a group may be won.

    Losing a lot never makes a parcel dearer, so that without groups it is the cost when every bid wins. Above 4,096
    outcomes the sum is a bound that is never too low."""
    sure = [bid for bid in bids if not bid.group]
    groups: dict[str, list[Exposed]] = defaultdict(list)
    for bid in bids:
        if bid.group:
            groups[bid.group].append(bid)
    takes = {name: min(take.get(name, 1), len(lots)) for name, lots in groups.items()}
    if prod(comb(len(lots), takes[name]) for name, lots in groups.items()) > MOST:
        return _bound(sure, groups, takes, parcels)
    moving = {bid.parcel for lots in groups.values() for bid in lots}
    still = cost_of([bid for bid in sure if bid.parcel not in moving], parcels)
    moved, cost = [bid for bid in sure if bid.parcel in moving], _costing(parcels)
    return still + max(cost([*moved, *some]) for some in _outcomes(groups, takes))


def cost_of(bids: Sequence[Exposed], parcels: Mapping[str, Sent]) -> Decimal:
    """What all of these cost together when each is won at its worst, home currency."""
    held: dict[str, list[Hammered]] = defaultdict(list)
    for bid in bids:
        held[bid.parcel].append(worst_hammer(parcels[bid.parcel].terms, bid.hammered))
    return sum((parcel_amount(parcels[name].terms, lots, parcels[name].money) for name, lots in held.items()), NOUGHT)


def _costing(parcels: Mapping[str, Sent]) -> Callable[[Sequence[Exposed]], Decimal]:
    """What bids cost together; each parcel with the same lots is worked out once."""
    known: dict[tuple[str, ...], Decimal] = {}

    def cost(bids: Sequence[Exposed]) -> Decimal:
        held: dict[str, list[Exposed]] = defaultdict(list)
        for bid in bids:
            held[bid.parcel].append(bid)
        total = NOUGHT
        for name, lots in held.items():
            key = (name, *(bid.lot for bid in lots))
            if key not in known:
                known[key] = cost_of(lots, parcels)
            total += known[key]
        return total

    return cost


def _outcomes(groups: Mapping[str, Sequence[Exposed]], takes: Mapping[str, int]) -> Iterator[list[Exposed]]:
    choices = [list(combinations(lots, takes[name])) for name, lots in groups.items()]
    for some in product(*choices):
        yield [bid for each in some for bid in each]


def _bound(
    sure: Sequence[Exposed],
    groups: Mapping[str, Sequence[Exposed]],
    takes: Mapping[str, int],
    parcels: Mapping[str, Sent],
) -> Decimal:
    """Every parcel that could come comes, and each group wins its dearest lots."""
    held = {bid.parcel for bid in sure}
    opened = {bid.parcel for lots in groups.values() for bid in lots} - held
    fixed = sum((fixed_cost(parcels[name].terms, parcels[name].money) for name in opened), NOUGHT)
    cost = _shared(parcels)
    dearest = (sorted(map(cost, lots), reverse=True)[: takes[name]] for name, lots in groups.items())
    return cost_of(sure, parcels) + fixed + sum((sum(each, NOUGHT) for each in dearest), NOUGHT)


def _shared(parcels: Mapping[str, Sent]) -> Callable[[Exposed], Decimal]:
    def cost(bid: Exposed) -> Decimal:
        sent = parcels[bid.parcel]
        return lot_costs(sent.terms, worst_hammer(sent.terms, bid.hammered), sent.money).shared

    return cost
