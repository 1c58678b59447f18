"""One option a class inside a budget, the exact best: the multiple-choice knapsack.

The choice starts from that of the relaxation, where options may be mixed, and takes in the classes in the order in
which they stand near its break; a state that cannot reach the best choice found is dropped (Pisinger 1995, A minimal
algorithm for the multiple-choice knapsack problem, European Journal of Operational Research 83). Most problems are
settled by a few classes.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import accumulate, pairwise
from typing import Any, NamedTuple, TypeVar

Pick = tuple[str, int]
"""A lot and the place of its option."""
Picks = tuple[Pick, ...]
SLACK = 1e-9
STATES = 40_000
"""States that are held at once; beyond, those of the lowest bound are dropped. No problem met came near."""


class Point(NamedTuple):
    """One way to choose from a class."""

    cost: int
    value: float
    picks: Picks


class Class(NamedTuple):
    """All ways worth looking at, cheapest first, and those of them on the upper hull; the first takes nothing."""

    points: tuple[Point, ...]
    hull: tuple[Point, ...]


class Relaxed(NamedTuple):
    """The best mix: its value, the price of a cent at the end of the budget, and the hull's place in each class."""

    value: float
    price: float
    places: list[int]


NOTHING = Point(0, 0.0, ())


def frontier(lots: Sequence[Sequence[tuple[int, float, Pick]]], take: int, budget: int) -> Class:
    """What can be chosen of a group: at most `take` of its lots, one option each, inside the budget."""
    layers: list[list[Point]] = [[NOTHING], *([] for _ in range(take))]
    for offers in lots:
        for count in range(take, 0, -1):
            more = [
                Point(base.cost + cost, base.value + value, (*base.picks, pick))
                for base in layers[count - 1]
                for cost, value, pick in offers
                if value > 0 and base.cost + cost <= budget
            ]
            layers[count] = undominated([*layers[count], *more])
    points = undominated([point for layer in layers for point in layer])
    return Class(tuple(points), tuple(_hull(points)))


Costed = TypeVar("Costed", bound=tuple[Any, ...])
"""A cost, then a value, then more."""


def undominated(points: Iterable[Costed]) -> list[Costed]:
    """Those of which none costs as little and is worth as much, cheapest first."""
    found: list[Costed] = []
    for point in sorted(points, key=lambda each: (each[0], -each[1])):
        if not found or point[1] > found[-1][1] + SLACK:
            found.append(point)
    return found


def _hull(points: Sequence[Point]) -> list[Point]:
    """The points over which value for cost falls."""
    hull: list[Point] = []
    for point in points:
        while len(hull) > 1 and _slope(hull[-2], hull[-1]) <= _slope(hull[-1], point):
            hull.pop()
        hull.append(point)
    return hull


def _slope(low: Point, high: Point) -> float:
    return (high.value - low.value) / (high.cost - low.cost) if high.cost > low.cost else float("inf")


def relaxed(classes: Sequence[Class], budget: int) -> Relaxed:
    """The best mix inside the budget: steps along the hulls, the steepest first."""
    steps = sorted(
        ((-_slope(low, high), n, high) for n, each in enumerate(classes) for low, high in pairwise(each.hull)),
        key=lambda step: step[0],
    )
    places, value, left = [0] * len(classes), sum(each.hull[0].value for each in classes), budget
    left -= sum(each.hull[0].cost for each in classes)
    for steep, n, high in steps:
        cost = high.cost - classes[n].hull[places[n]].cost
        if cost > left:
            return Relaxed(value - steep * left, -steep, places)
        value += high.value - classes[n].hull[places[n]].value
        left -= cost
        places[n] += 1
    return Relaxed(value, 0.0, places)


def best_of(classes: Sequence[Class], budget: int, above: float) -> tuple[float, int, Picks] | None:
    """The best choice worth more than `above`, or as much: value, cost, picks. None without one."""
    mix = relaxed(classes, budget)
    if mix.value < above - SLACK:
        return None
    base = [each.hull[place] for each, place in zip(classes, mix.places, strict=True)]
    best = _filled(classes, base, budget)
    found = best if best[0] >= above - SLACK else None
    search = _Search(classes, mix, base, budget)
    better = search.run(max(above - SLACK, best[0] + SLACK))
    return better or found


def _filled(classes: Sequence[Class], base: Sequence[Point], budget: int) -> tuple[float, int, Picks]:
    """The whole steps of the mix, and with what is left the best single change after another."""
    chosen, left = list(base), budget - sum(point.cost for point in base)
    while True:
        gains = [
            (point.value - chosen[n].value, -point.cost, n, point)
            for n, each in enumerate(classes)
            for point in each.points
            if point.value > chosen[n].value + SLACK and point.cost - chosen[n].cost <= left
        ]
        if not gains:
            break
        _, _, n, point = max(gains, key=lambda gain: gain[:3])
        left -= point.cost - chosen[n].cost
        chosen[n] = point
    picks = tuple(pick for point in chosen for pick in point.picks)
    return sum(point.value for point in chosen), budget - left, picks


class _State(NamedTuple):
    cost: int
    value: float
    moved: tuple[tuple[int, Point], ...]
    """Classes in which another way is chosen than in the mix."""


def _moved(state: _State, n: int, own: Point, point: Point) -> _State:
    """The state with another way of one class."""
    cost, value = state.cost + point.cost - own.cost, state.value + point.value - own.value
    return _State(cost, value, (*state.moved, (n, point)))


class _Search:
    """The search from the mix outward."""

    def __init__(self, classes: Sequence[Class], mix: Relaxed, base: Sequence[Point], budget: int) -> None:
        self._classes, self._base, self._budget = classes, base, budget
        rises = [_slope(e.hull[p], e.hull[p + 1]) if p + 1 < len(e.hull) else 0.0 for e, p in _with(classes, mix)]
        falls = [_slope(e.hull[p - 1], e.hull[p]) if p else float("inf") for e, p in _with(classes, mix)]
        gaps = [min(mix.price - up, down - mix.price) for up, down in zip(rises, falls, strict=True)]
        self._order = sorted(range(len(classes)), key=lambda n: gaps[n])
        # What the classes still to come can win for a cent left, and must lose for a cent too much.
        self._up = [*accumulate([0.0, *(rises[n] for n in reversed(self._order))], max)][::-1]
        self._down = [*accumulate([float("inf"), *(falls[n] for n in reversed(self._order))], min)][::-1]

    def run(self, above: float) -> tuple[float, int, Picks] | None:
        """The best choice worth more than `above`; None without one."""
        cost, value = sum(p.cost for p in self._base), sum(p.value for p in self._base)
        states = [_State(cost, value, ())]
        best: _State | None = None
        for at, n in enumerate(self._order):
            states, found = self._step(states, at, n, best.value if best else above)
            if found is not None:
                best = found
            if not states:
                break
        return self._told(best) if best else None

    def _step(self, states: list[_State], at: int, n: int, above: float) -> tuple[list[_State], _State | None]:
        """Take in one class: every other way of it, for every state that can still get above."""
        own, best, made = self._base[n], None, []
        for point in self._classes[n].points:
            least = above - (point.value - own.value) + SLACK
            for state in states:
                left = self._budget - state.cost - point.cost + own.cost
                if state.value + self._reach(at + 1, left) <= least:
                    continue
                new = state if point is own else _moved(state, n, own, point)
                made.append(new)
                if left >= 0 and new.value > above:
                    above, best, least = new.value, new, new.value - (point.value - own.value) + SLACK
        kept = undominated(made)
        return (kept if len(kept) <= STATES else sorted(kept, key=lambda each: -each[1])[:STATES]), best

    def _reach(self, at: int, left: int) -> float:
        """What the classes from this place on can win at most with what is left; below 0 where too much is spent."""
        if left >= 0:
            return left * self._up[at]
        return left * self._down[at] if self._down[at] < float("inf") else -float("inf")

    def _told(self, state: _State) -> tuple[float, int, Picks]:
        moved = dict(state.moved)
        chosen = [moved.get(n, point) for n, point in enumerate(self._base)]
        return state.value, state.cost, tuple(pick for point in chosen for pick in point.picks)


def _with(classes: Sequence[Class], mix: Relaxed) -> Iterable[tuple[Class, int]]:
    return zip(classes, mix.places, strict=True)
