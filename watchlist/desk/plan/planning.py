"""The bids of a plan made of what there is to choose from: standing or attended, inside each budget."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from functools import partial

from watchlist.core.money.amount import Money, cents
from watchlist.core.parcels.outcomes import Exposed, worst_case
from watchlist.core.plan.attended import Outlook, Sale, Season, Want, ahead
from watchlist.core.plan.budgets import Held
from watchlist.core.plan.offers import Option, options_of
from watchlist.core.plan.standing import Candidate, Pot, Task, standing
from watchlist.desk.desk import Desk
from watchlist.desk.errors import Stopped
from watchlist.desk.in_hand.hands import hammered
from watchlist.desk.plan.prospects import Field, Prospect, rungs

Bid = tuple[Prospect, Option]
CENT = Decimal("0.01")
TRIES = 4
"""Plans made anew with a little less, until the exact cost is inside the budget."""


@dataclass(frozen=True, slots=True)
class Made:
    """The bids of one plan, before they are shown."""

    bids: tuple[Bid, ...]
    saving: float
    spending: float
    pieces: float
    worst: Decimal
    """What it takes from the budgets of its lots."""
    left: Decimal = Decimal(0)
    """Of the least budget, before the plan."""
    names: tuple[str, ...] = ()
    lowered: tuple[tuple[str, float], ...] = ()
    """By which share the ceilings of a budget's lots are lowered, so that it lasts; no name without dates."""


@dataclass(frozen=True, slots=True)
class Pool:
    """Lots that are planned together, and the budgets that hold them."""

    lots: tuple[Prospect, ...]
    holds: tuple[Held, ...]
    names: tuple[str, ...]
    """Of these budgets, in the order in which lots meet them."""
    left: Decimal


def _pools(choice: Field, budgets: Sequence[Held]) -> Iterator[tuple[tuple[Held, ...], list[Prospect]]]:
    """Lots by the budgets that they count in, soonest first."""
    pools: dict[tuple[str, ...], list[Prospect]] = defaultdict(list)
    for each in sorted(choice.prospects, key=lambda each: (each.closes, each.key)):
        pools[tuple(held.name for held in budgets if held.covers(each.day))].append(each)
    of = {held.name: held for held in budgets}
    for names, lots in pools.items():
        yield tuple(of[name] for name in names), lots


def _at_hand(pools: Iterable[tuple[Held, ...]]) -> Decimal:
    """What the budgets of these lots have left: of an outer one no more than what those inside it let through."""
    through: dict[str, Decimal] = defaultdict(Decimal)
    outer: dict[str, Held] = {}
    for pool in pools:
        if pool:
            widest = max(pool, key=lambda held: (_days(held), held.name))
            outer[widest.name] = widest
            through[widest.name] += max(min(held.left for held in pool), Decimal(0))
    return sum((min(held.left, through[name]) for name, held in outer.items()), Decimal(0))


def _days(held: Held) -> int:
    return (held.last - held.first).days if held.first and held.last else 0


def standing_bids(desk: Desk, choice: Field, budgets: Sequence[Held]) -> Made:
    """Bids left before the sales; never more than any of the budgets holds when every one of its bids wins.

    The task counts a parcel's cost from its parts, which is off by cents; where an exact sum is above what is left, it
    is made anew with that much less."""
    pool = _pool(choice, budgets)
    offers = {each.key: options_of(rungs(desk, each), float(each.ceiling)) for each in pool.lots}
    candidates = tuple(Candidate(each.key, each.parcel, each.group, offers[each.key]) for each in pool.lots)
    less = dict.fromkeys(pool.names, Decimal(0))
    for _ in range(TRIES):
        task = Task(candidates, choice.once, choice.takes, *_room(pool, less))
        found = standing(task, partial(_going, desk))
        bids = tuple((each, offers[each.key][found.bids[each.key]]) for each in pool.lots if each.key in found.bids)
        over = {held.name: exact_worst(desk, choice, of_budget(held, bids)) - held.left for held in pool.holds}
        if not bids or all(more <= 0 for more in over.values()):
            worst = exact_worst(desk, choice, bids)
            return Made(bids, found.saving, found.spending, found.pieces, worst, pool.left, pool.names)
        less = {name: less[name] + (more + CENT if more > 0 else 0) for name, more in over.items()}
    return Made((), 0.0, 0.0, 0.0, Decimal(0), pool.left, pool.names)


def _pool(choice: Field, budgets: Sequence[Held]) -> Pool:
    pools = [(held, lots) for held, lots in _pools(choice, budgets) if held]
    names = tuple(dict.fromkeys(each.name for held, _ in pools for each in held))
    lots = tuple(each for _, some in pools for each in some)
    holds = tuple(held for held in budgets if held.name in names)
    return Pool(lots, holds, names, _at_hand(held for held, _ in pools))


def _room(pool: Pool, less: Mapping[str, Decimal]) -> tuple[int, tuple[Pot, ...]]:
    """What a task may spend in all and of each budget, in cents, each with so much less than it has left."""
    whole = max(int((pool.left - max(less.values(), default=Decimal(0))) * 100), 0)
    pots = tuple(_pot(held, pool.lots, less[held.name]) for held in pool.holds)
    return whole, pots if len(pots) > 1 else ()


def _going(desk: Desk, share: float) -> None:
    if not desk.go_on("weighing bids", share):
        raise Stopped("Planning was stopped. Nothing was changed.")


def of_budget(held: Held, bids: Iterable[Bid]) -> list[Bid]:
    """The bids that a budget holds."""
    return [bid for bid in bids if held.covers(bid[0].day)]


def _pot(held: Held, lots: Iterable[Prospect], less: Decimal) -> Pot:
    return Pot(max(int((held.left - less) * 100), 0), frozenset(each.key for each in lots if held.covers(each.day)))


def exact_worst(desk: Desk, choice: Field, bids: Iterable[Bid]) -> Decimal:
    """What bids add to what is in hand when all win at their worst, from the terms, to the cent; home currency."""
    new = [
        Exposed(each.key, each.parcel, hammered(desk, each.row.lot, Money(option.bid, each.limit.currency)))
        for each, option in bids
    ]
    used = {each.parcel for each in new}
    fixed = [
        Exposed(each.key, choice.hands.of[each.key], hammered(desk, each.lot, each.price))
        for each in choice.stays
        if choice.hands.of[each.key] in used
    ]
    sent = choice.hands.sent
    return worst_case([*fixed, *new], sent, {}) - worst_case(fixed, sent, {})


def attended_bids(desk: Desk, choice: Field, budgets: Sequence[Held]) -> Made:
    """Bids for one who attends, as things stand now; what is expected to be spent is inside each of the budgets."""
    pool = _pool(choice, budgets)
    of = {each.key: each for each in pool.lots}
    wants: dict[str, list[Prospect]] = defaultdict(list)
    for each in sorted(pool.lots, key=lambda each: (each.closes, each.key)):
        wants[each.group or each.key].append(each)
    opened = frozenset(each.parcel for each in pool.lots if each.open)
    asked = [
        Want(name, tuple(_sale(desk, pool, each) for each in some), choice.takes.get(name, 1), opened)
        for name, some in wants.items()
    ]
    season = ahead(asked, *(max(float(held.left), 0.0) for held in pool.holds), going=partial(_going, desk))
    bids = tuple((of[lot], option) for lot, option in _bids(season, asked, opened))
    now = season.now.values()
    return Made(
        bids,
        sum(each.saving for each in now),
        sum(each.spending for each in now),
        sum(each.pieces for each in now),
        cents(Decimal(season.spending)),
        pool.left,
        pool.names,
        tuple(_lowered(season, pool, bids)),
    )


def _lowered(season: Season, pool: Pool, bids: Iterable[Bid]) -> Iterator[tuple[str, float]]:
    """By how much the ceilings of lots are lowered, by the innermost of their budgets."""
    for places in dict.fromkeys(_holds(pool, each) for each, _ in bids):
        held = min((pool.holds[n] for n in places), key=lambda held: (_days(held), held.name))
        if (squeeze := season.squeeze(places)) > 1:
            yield (held.name if held.first else ""), 1 - 1 / squeeze


def _holds(pool: Pool, each: Prospect) -> tuple[int, ...]:
    """Places of the budgets that a lot counts in."""
    return tuple(n for n, held in enumerate(pool.holds) if held.covers(each.day))


def _sale(desk: Desk, pool: Pool, each: Prospect) -> Sale:
    return Sale(each.key, each.parcel, float(each.ceiling), tuple(rungs(desk, each)), _holds(pool, each))


def _bids(season: Season, asked: Sequence[Want], opened: frozenset[str]) -> Iterator[tuple[str, Option]]:
    """The bid on every lot as things stand now, nothing won before it."""
    for want in asked:
        for at, sale in enumerate(season.wants[want.name].sales):
            found: Outlook = season.wants[want.name].at(at, want.need, opened)
            if found.bid is not None:
                cost = round(found.worst * 100)
                yield sale.lot, Option(found.bid, cost, cost, found.chance, found.own, 0.0)
