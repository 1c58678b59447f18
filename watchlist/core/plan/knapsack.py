"""The best choice inside a budget: one option a lot, so many lots a group, and a fixed cost for each parcel used.

Solved exactly. Every set of parcels has an upper bound, its relaxation by a price of the budget (Lagrange); best
first, a set is solved by `choosing`, until no bound is above the best choice found. Above 12 parcels that cost
something the sets are too many: then one parcel after the other is taken in or out while that gains.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from heapq import heapify, heappop
from typing import NamedTuple

from watchlist.core.plan.choosing import Class, Pick, best_of, frontier, relaxed

MOST = 12
"""Parcels with a fixed cost of which every set is looked at."""
SLACK = 1e-9
"""Values that differ by less are the same."""


class Offer(NamedTuple):
    """What one option of a lot takes from the budget and what it is worth."""

    cost: int
    """Whole cents."""
    value: float


@dataclass(frozen=True, slots=True)
class Item:
    """A lot with its options."""

    lot: str
    parcel: str
    group: str
    """Empty: a lot for itself."""
    offers: tuple[Offer, ...]


@dataclass(frozen=True, slots=True)
class Opening:
    """What it takes to use a parcel at all."""

    cost: int
    value: float
    """Lost."""


@dataclass(frozen=True, slots=True)
class Round:
    """One problem."""

    items: tuple[Item, ...]
    parcels: Mapping[str, Opening]
    takes: Mapping[str, int]
    """How many lots of a group; 1 where it is not named."""
    budget: int


@dataclass(frozen=True, slots=True)
class Choice:
    """The best choice: the place of the option of each lot chosen."""

    value: float
    cost: int
    chosen: Mapping[str, int]


def solve(task: Round) -> Choice:
    """The choice of the highest value; of equal ones that of the lower cost."""
    return _Solver(task).best()


class _Solver:
    """One problem with what is worked out of it once."""

    def __init__(self, task: Round) -> None:
        self._task = task
        used = {item.parcel for item in task.items}
        nothing = Opening(0, 0.0)
        self._opening = {name: task.parcels.get(name, nothing) for name in used}
        self._free = frozenset(name for name, each in self._opening.items() if not each.cost and each.value <= 0)
        self._paid = sorted(used - self._free)
        self._classes = _classes(task.items)
        self._made: dict[tuple[int, frozenset[str]], Class] = {}
        self._best = Choice(0.0, 0, {})

    def best(self) -> Choice:
        if len(self._paid) <= MOST:
            self._every_set()
        else:
            self._by_flips()
        return self._best

    def _every_set(self) -> None:
        """Best first: by the cheap bound, then by the exact one, then solved."""
        cheap = self._bounds()
        heap = [(-bound, 0, mask) for mask, bound in enumerate(cheap) if bound > SLACK or mask == 0]
        heapify(heap)
        while heap:
            bound, _, mask = heappop(heap)
            if -bound <= self._best.value + SLACK and self._best.chosen:
                return
            self._try(frozenset(name for n, name in enumerate(self._paid) if mask >> n & 1))

    def _bounds(self) -> list[float]:
        """For each set of parcels that cost something a value that no choice inside it is above."""
        everything = [self._class(n, frozenset(self._opening)) for n in range(len(self._classes))]
        steep = relaxed(everything, self._task.budget).price
        prices = [steep * factor for factor in (0.0, 0.6, 0.8, 1.0, 1.15, 1.35, 1.7, 2.5)]
        found = [min(each) for each in zip(*(self._bound_at(price) for price in prices), strict=True)]
        for mask, bound in enumerate(found):
            fixed = sum(self._opening[name].cost for n, name in enumerate(self._paid) if mask >> n & 1)
            found[mask] = bound if fixed <= self._task.budget else -1.0
        return found

    def _bound_at(self, price: float) -> list[float]:
        """The bounds when every cent of the budget has a price."""
        bit = {name: 1 << n for n, name in enumerate(self._paid)}
        gain = {1 << n: -self._lost(name, price) for n, name in enumerate(self._paid)} | {0: price * self._task.budget}
        several = []
        for worths in self._worths(price, bit):
            if len({mask for mask, _ in worths}) == 1:
                gain[worths[0][0]] += worths[0][1]
            elif worths:
                several.append(worths)
        bounds = [gain.pop(0)]
        for mask in sorted(gain):  # a set is one without its last parcel, and that parcel
            bounds += [bound + gain[mask] for bound in bounds]
        for worths in several:
            _add(bounds, worths)
        return bounds

    def _lost(self, name: str, price: float) -> float:
        return self._opening[name].value + price * self._opening[name].cost

    def _worths(self, price: float, bit: Mapping[str, int]) -> Iterable[list[tuple[int, float]]]:
        """For each class what its best lots are worth at the price, highest first, with the parcel each needs."""
        for items in self._classes:
            worths = [
                (bit.get(item.parcel, 0), max((o.value - price * o.cost for o in item.offers), default=0.0))
                for item in items
            ]
            rising = sorted((each for each in worths if each[1] > 0), key=lambda each: -each[1])
            if self._take(items) == 1:
                yield rising
            else:  # more than one of them: each for itself, which is no less
                yield from ([each] for each in rising)

    def _try(self, opened: frozenset[str]) -> None:
        """Solve inside one set of parcels."""
        cost = sum(self._opening[name].cost for name in opened)
        lost = sum(self._opening[name].value for name in opened)
        left = self._task.budget - cost
        if left < 0:
            return
        classes = [self._class(n, opened | self._free) for n in range(len(self._classes))]
        found = best_of(classes, left, self._best.value + lost)
        if found is None:
            return
        value, spent, picks = found
        chosen = dict(pick for pick in picks)
        unused = opened - {item.parcel for item in self._task.items if item.lot in chosen}
        cost -= sum(self._opening[name].cost for name in unused)
        lost -= sum(self._opening[name].value for name in unused)
        made = Choice(value - lost, spent + cost, chosen)
        if (made.value, -made.cost) > (self._best.value + SLACK, 0) or self._cheaper(made):
            self._best = made

    def _cheaper(self, made: Choice) -> bool:
        return abs(made.value - self._best.value) <= SLACK and made.cost < self._best.cost

    def _class(self, number: int, opened: frozenset[str]) -> Class:
        items = self._classes[number]
        reached = frozenset(item.parcel for item in items) & opened
        if (number, reached) not in self._made:
            lots = [_picks(item) for item in items if item.parcel in reached]
            self._made[number, reached] = frontier(lots, self._take(items), self._task.budget)
        return self._made[number, reached]

    def _take(self, items: Sequence[Item]) -> int:
        return self._task.takes.get(items[0].group, 1) if items[0].group else 1

    def _by_flips(self) -> None:
        """From every parcel one after the other taken in or out, until no flip gains."""
        opened: frozenset[str] = frozenset()
        self._try(opened)
        gained = True
        while gained:
            gained = False
            for name in self._paid:
                before = self._best
                self._try(opened ^ {name})
                if self._best is not before:
                    opened, gained = opened ^ {name}, True


def _add(bounds: list[float], worths: Sequence[tuple[int, float]]) -> None:
    """Add to each set the highest worth of which it has the parcel."""
    for at in range(len(bounds)):
        for mask, worth in worths:
            if mask & at == mask:
                bounds[at] += worth
                break


def _classes(items: Iterable[Item]) -> list[list[Item]]:
    groups: dict[tuple[str, str], list[Item]] = defaultdict(list)
    for item in items:
        groups[item.group, "" if item.group else item.lot].append(item)
    return list(groups.values())


def _picks(item: Item) -> list[tuple[int, float, Pick]]:
    return [(offer.cost, offer.value, (item.lot, n)) for n, offer in enumerate(item.offers)]
