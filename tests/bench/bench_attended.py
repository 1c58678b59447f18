"""Attended bids against bidding every lot to its limit, on simulated weeks. Prints what each saves on average.

A week: 2 to 5 wants with 1 to 4 lots each at three venues, two of which send the lots of a sale together; prices fall
from the same bands that the plan knows. Both buy in closing order, pay the first rung at or above the competing price,
stop when a want is filled, and leave a lot whose bid could cost more than what is left. Run by hand:

    python tests/bench/bench_attended.py [WEEKS]
"""

from __future__ import annotations

import random
import sys
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from statistics import mean, stdev

from watchlist.core.fees.ladders import Ladder
from watchlist.core.plan.attended import Sale, Want, ahead
from watchlist.core.plan.offers import Likely, Rung, rungs_of

LADDER = Ladder.parse("0:1;50:5;100:10;500:25")
VENUES = {"a": (1.24, 9.8, 0.0), "b": (1.38, 25.0, 3.0), "c": (1.2, 12.0, 12.0)}
"""What a unit of hammer costs, and what the first and each further lot of a parcel cost beside."""


@dataclass(frozen=True, slots=True)
class Lot:
    """One lot of a week with the price that others stop at, which no plan sees."""

    want: str
    sale: Sale
    rival: float


@dataclass(frozen=True, slots=True)
class Week:
    """What is sold in a week, in closing order, and what there is to spend."""

    lots: tuple[Lot, ...]
    needs: Mapping[str, int]
    budget: float


def week(rng: random.Random) -> Week:
    """One week."""
    lots: list[Lot] = []
    needs = {}
    for n in range(rng.randint(2, 5)):
        want, middle = f"w{n}", rng.choice((18, 45, 90, 180, 320))
        needs[want] = rng.choice((1, 1, 2))
        for _ in range(rng.randint(1, 4)):
            venue = rng.choice(list(VENUES))
            factor, first, more = VENUES[venue]
            told = Likely(middle * rng.uniform(0.85, 1.2), rng.uniform(0.22, 0.4))
            ceiling = middle * factor * rng.uniform(0.95, 1.3) + first
            rungs = rungs_of(
                LADDER,
                told,
                lambda bid, factor=factor, more=more: Decimal(str(round(float(bid) * factor + more, 2))),  # type: ignore[misc]
                lambda bid, factor=factor, first=first: Decimal(str(round(float(bid) * factor + first, 2))),  # type: ignore[misc]
                upto=Decimal(int(ceiling)),
                start=Decimal(0),
            )
            sale = Sale(f"l{len(lots)}", venue, ceiling, tuple(rungs))
            lots.append(Lot(want, sale, rng.lognormvariate(0, told.spread) * told.median))
    rng.shuffle(lots)
    return Week(tuple(lots), needs, rng.choice((150.0, 400.0, 1000.0)))


@dataclass(frozen=True, slots=True)
class Now:
    """Where a week stands before a lot."""

    rest: Sequence[Lot]
    needs: Mapping[str, int]
    opened: frozenset[str]
    left: float


Bid = Callable[[Now], Decimal | None]


def by_plan(now: Now) -> Decimal | None:
    """The bid of the plan made anew before the lot."""
    names = dict.fromkeys(lot.want for lot in now.rest)
    wants = [
        Want(name, tuple(lot.sale for lot in now.rest if lot.want == name), now.needs[name], now.opened)
        for name in names
    ]
    season = ahead(wants, now.left)
    return season.now[now.rest[0].want].bid


def by_limit(now: Now) -> Decimal | None:
    """The highest rung up to which the lot costs no more than its ceiling and what is left."""
    lot, bid = now.rest[0].sale, None
    for rung in lot.rungs:
        if cost_at(rung, lot, now.opened) > min(lot.ceiling, now.left):
            break
        bid = rung.bid
    return bid


def cost_at(rung: Rung, sale: Sale, opened: frozenset[str]) -> float:
    return rung.shared if sale.parcel in opened else rung.alone


def saved(each: Week, bidding: Bid) -> float:
    """What a way of bidding saves under the ceilings in one week."""
    needs, opened, left, total = dict(each.needs), frozenset[str](), each.budget, 0.0
    for n, lot in enumerate(each.lots):
        if needs[lot.want] <= 0:
            continue
        bid = bidding(Now(each.lots[n:], needs, opened, left))
        paid = next((rung for rung in lot.sale.rungs if float(rung.bid) >= lot.rival), None)
        if bid is None or paid is None or paid.bid > bid:
            continue
        cost = cost_at(paid, lot.sale, opened)
        total, left, opened = total + lot.sale.ceiling - cost, left - cost, opened | {lot.sale.parcel}
        needs[lot.want] -= 1
    return total


def run(weeks: int) -> None:
    """Simulate and print."""
    rng = random.Random(2026)
    rows = [(saved(each, by_plan), saved(each, by_limit)) for each in (week(rng) for _ in range(weeks))]
    plan, limit = (mean(each) for each in zip(*rows, strict=True))
    spread = stdev(one - other for one, other in rows) / weeks**0.5
    print(f"{weeks} weeks: attended plan saves {plan:.2f} a week, bidding the limit {limit:.2f}")
    print(f"difference {plan - limit:+.2f} a week ({(plan / limit - 1):+.1%}), standard error {spread:.2f}")


if __name__ == "__main__":
    run(int(sys.argv[1]) if len(sys.argv) > 1 else 200)
