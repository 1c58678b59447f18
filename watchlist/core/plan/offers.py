"""The bids that may be left on a lot, each with its chance, its worst cost and what it is expected to save."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from decimal import Decimal
from math import erfc, log, sqrt
from typing import NamedTuple

from watchlist.core.fees.ladders import Ladder

LEAST_CHANCE = 0.02
"""A bid less likely to win is not worth leaving."""
MOST_RUNGS = 40
"""Bids offered for one lot; where there are more, every second or third is left out, never the highest."""
SURE = 0.999999
"""No bid is surer than this."""


@dataclass(frozen=True, slots=True)
class Likely:
    """What a lot may be sold for: log-normal hammer prices, in the sale's currency."""

    median: float
    """Above 0."""
    spread: float
    """Standard deviation of the logarithm; above 0."""
    below: float = 0.0
    """The price is above this: the rung under the start, or the current bid."""

    def reached(self, price: float) -> float:
        """The chance that the lot is sold at this price or under it."""
        most = self._above(self.below)
        if price <= self.below or most <= 0:
            return 0.0
        return min(max(1 - self._above(price) / most, 0.0), SURE)

    def _above(self, price: float) -> float:
        return 1.0 if price <= 0 else 0.5 * erfc(log(price / self.median) / (self.spread * sqrt(2)))


class Rung(NamedTuple):
    """One price that a lot may be won at, on the way up to a bid. Money in home currency but for the bid itself."""

    bid: Decimal
    """Sale currency."""
    mass: float
    """The chance that one pays just this."""
    shared: float
    """Cost in a parcel that comes anyway."""
    alone: float
    """Cost as the first lot of its parcel."""


class Option(NamedTuple):
    """One bid that may be left."""

    bid: Decimal
    """Sale currency."""
    worst: int
    """The most that winning can add to a parcel that comes anyway, in cents."""
    alone: int
    """The most that winning can cost with nothing else in the parcel, in cents."""
    chance: float
    saving: float
    """Expected, under the ceiling, but for what the parcel costs once."""
    spending: float
    """Expected, but for what the parcel costs once."""


Cost = Callable[[Decimal], Decimal]
"""From a hammer price to home currency."""


def rungs_of(ladder: Ladder, likely: Likely, shared: Cost, alone: Cost, *, upto: Decimal, start: Decimal) -> list[Rung]:
    """All prices up to a bid that a lot may be sold at. `start`: the lowest bid taken now, 0 without one."""
    rungs, before = [], 0.0
    for bid in ladder.rungs(upto, start):
        reached = likely.reached(float(bid))
        rungs.append(Rung(bid, reached - before, float(shared(bid)), float(alone(bid))))
        before = reached
    return rungs


def options_of(rungs: Sequence[Rung], ceiling: float, *, most: int = MOST_RUNGS) -> tuple[Option, ...]:
    """The bids worth offering: of each rung what all rungs up to it cost and save together."""
    options, chance, saving, spending, worst, alone = [], 0.0, 0.0, 0.0, 0.0, 0.0
    for rung in rungs:
        chance += rung.mass
        saving += (ceiling - rung.shared) * rung.mass
        spending += rung.shared * rung.mass
        worst, alone = max(worst, rung.shared), max(alone, rung.alone)
        if chance >= LEAST_CHANCE:
            options.append(Option(rung.bid, round(worst * 100), round(alone * 100), chance, saving, spending))
    step = max(1, -(-len(options) // most))
    return tuple(options[::-1][::step][::-1])
