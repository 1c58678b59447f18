"""Bids left before the sales, which nobody attends: the set that is expected to save most inside a budget.

What a parcel costs once is paid only where one of its bids wins, so that the sum to make largest is that of the lots'
savings less, for each parcel, its fixed cost by the chance that any of its bids wins. That sum is not linear. A tangent
to it is never above it, and makes a round that `knapsack` solves exactly; the next tangent touches at the choice found,
so that no round is worse than the one before. Five starts; then single changes and swaps while they gain.

Budgets of which each holds some of the lots only have no such round: a plan for all the money is cut down to them, and
the lots of each are planned by themselves, one budget after the other; the changes then look at all of them at once.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from math import log, prod

from watchlist.core.plan.knapsack import Item, Offer, Opening, Round, solve
from watchlist.core.plan.offers import Option

STARTS = (0.0, 0.25, 0.5, 0.75, 1.0)
ROUNDS = 4
GAIN = 1e-7
"""Less is no gain."""
SWAPS = 4_000
"""Pairs of a lot to give up and a bid to take, looked at in one pass."""


@dataclass(frozen=True, slots=True)
class Candidate:
    """A lot that may be bid for."""

    lot: str
    parcel: str
    group: str
    """Lots of which only some are needed; empty: it stands for itself."""
    options: tuple[Option, ...]


@dataclass(frozen=True, slots=True)
class Once:
    """What a parcel costs once."""

    budget: int = 0
    """Cents that its first bid takes from the budget; 0 where it is won or a bid on it is placed."""
    value: float = 0.0
    """Home units that are lost when its first bid wins; a placed bid may win before, which makes it less."""


@dataclass(frozen=True, slots=True)
class Pot:
    """A budget that holds some of the lots: their bids, with the parcels that these use, stay inside it."""

    budget: int
    """Cents."""
    lots: frozenset[str]


@dataclass(frozen=True, slots=True)
class Task:
    """What is to be planned."""

    lots: tuple[Candidate, ...]
    parcels: Mapping[str, Once]
    takes: Mapping[str, int]
    """How many lots of a group are needed; 1 where it is not named."""
    budget: int
    """Cents, for all of them together."""
    pots: tuple[Pot, ...] = ()
    """Further budgets, each for some of the lots."""


@dataclass(frozen=True, slots=True)
class Plan:
    """The bids to leave."""

    bids: Mapping[str, int]
    """Lot to the place of its option."""
    worst: int
    """Cents, if every bid wins."""
    saving: float
    """Expected, home units."""
    spending: float
    pieces: float

    @property
    def better(self) -> tuple[float, int]:
        """What plans are compared by: the larger the better."""
        return round(self.saving, 7), -self.worst


def standing(task: Task, going: Callable[[float], None] = lambda share: None) -> Plan:
    """The best plan found. Never one that can cost more than the budget; without a bid that fits an empty one.

    `going` is told how far it is, and may break it off by raising."""
    lots = tuple(sorted((each for each in task.lots if each.options), key=lambda each: each.lot))
    clean = replace(task, lots=lots)
    met: dict[tuple[float, ...], Mapping[str, int]] = {}
    best = told(clean, {})
    for start in STARTS:
        going(start)
        for chosen in _rounds(clean, _at_most(clean, start), met):
            best = max(best, told(clean, _cut_down(clean, chosen)), key=lambda plan: plan.better)
    for last_first in (False, True) if task.pots else ():
        best = max(best, told(clean, _in_turn(clean, last_first=last_first)), key=lambda plan: plan.better)
    return told(clean, _polished(clean, dict(best.bids)))


def told(task: Task, chosen: Mapping[str, int]) -> Plan:
    """What a choice costs and is expected to bring."""
    taken = [(each, each.options[chosen[each.lot]]) for each in task.lots if each.lot in chosen]
    used = {each.parcel for each, _ in taken}
    opened = {name: 1 - prod(1 - option.chance for each, option in taken if each.parcel == name) for name in used}
    once = sum(chance * _once(task, name).value for name, chance in opened.items())
    worst = sum(option.worst for _, option in taken) + sum(_once(task, name).budget for name in used)
    return Plan(
        dict(chosen),
        worst,
        sum(option.saving for _, option in taken) - once,
        sum(option.spending for _, option in taken) + once,
        sum(option.chance for _, option in taken),
    )


def _once(task: Task, parcel: str) -> Once:
    return task.parcels.get(parcel, Once())


def _at_most(task: Task, power: float) -> dict[str, float]:
    """For each parcel the chance that none of its bids wins were all at their highest, to a power."""
    none: dict[str, float] = defaultdict(lambda: 1.0)
    for each in task.lots:
        none[each.parcel] *= 1 - each.options[-1].chance
    return {name: chance**power for name, chance in none.items()}


def _rounds(
    task: Task, none: Mapping[str, float], met: dict[tuple[float, ...], Mapping[str, int]]
) -> Iterator[Mapping[str, int]]:
    """The choices of round after round, until the tangents are ones that were met."""
    names = sorted({each.parcel for each in task.lots})
    for _ in range(ROUNDS):
        at = tuple(round(none[name], 9) for name in names)
        if at in met:
            return
        chosen = solve(_round(task, none)).chosen
        met[at] = chosen
        yield chosen
        none = {
            name: prod(
                1 - each.options[chosen[each.lot]].chance
                for each in task.lots
                if each.parcel == name and each.lot in chosen
            )
            for name in names
        }


def _round(task: Task, none: Mapping[str, float]) -> Round:
    """The round whose tangent touches where a parcel stays away with these chances."""
    items = tuple(
        Item(
            each.lot, each.parcel, each.group, tuple(_offers(each, _once(task, each.parcel).value * none[each.parcel]))
        )
        for each in task.lots
    )
    opening = {
        name: Opening(_once(task, name).budget, _once(task, name).value * (1 - u + u * log(u)))
        for name, u in none.items()
    }
    return Round(items, opening, task.takes, task.budget)


def _offers(each: Candidate, slope: float) -> Iterator[Offer]:
    for option in each.options:
        yield Offer(option.worst, option.saving + (slope * log(1 - option.chance) if slope else 0.0))


# --- several budgets ---


def spent(task: Task, chosen: Mapping[str, int], pot: Pot) -> int:
    """What the bids of a budget cost if all win, cents, their parcels included."""
    taken = [each for each in task.lots if each.lot in chosen and each.lot in pot.lots]
    once = sum(_once(task, name).budget for name in {each.parcel for each in taken})
    return once + sum(each.options[chosen[each.lot]].worst for each in taken)


def _cut_down(task: Task, chosen: Mapping[str, int]) -> Mapping[str, int]:
    """The choice without the bids that save least for their money, until each budget holds its own."""
    of, kept = {each.lot: each for each in task.lots}, dict(chosen)
    for pot in task.pots:
        while spent(task, kept, pot) > pot.budget and (mine := [lot for lot in kept if lot in pot.lots]):
            worth = {lot: of[lot].options[kept[lot]] for lot in mine}
            del kept[min(mine, key=lambda lot: (worth[lot].saving / max(worth[lot].worst, 1), lot))]
    return kept


def _in_turn(task: Task, *, last_first: bool) -> Mapping[str, int]:
    """The lots of the same budgets planned by themselves, one after the other; each leaves the next what it can."""
    pools: dict[tuple[int, ...], list[Candidate]] = defaultdict(list)
    for each in task.lots:
        pools[tuple(n for n, pot in enumerate(task.pots) if each.lot in pot.lots)].append(each)
    left, whole, takes = [pot.budget for pot in task.pots], task.budget, dict(task.takes)
    chosen: dict[str, int] = {}
    for names, lots in sorted(pools.items(), reverse=last_first):
        budget = max(min([whole, *(left[n] for n in names)]), 0)
        found = standing(Task(tuple(lots), task.parcels, takes, budget))
        chosen |= found.bids
        whole -= found.worst
        for n in names:
            left[n] -= found.worst
        for each in lots:
            if each.group and each.lot in found.bids:
                takes[each.group] = takes.get(each.group, 1) - 1
    return chosen


# --- single changes -------------------------------------------------------------------------------------------------


class _Change:
    """A choice with its sums kept, so that what a change makes of them is soon told."""

    def __init__(self, task: Task, best: Plan) -> None:
        self.task, self.best = task, best
        self._of = {each.lot: each for each in task.lots}
        self._chosen = {lot: self._of[lot].options[at] for lot, at in best.bids.items()}
        self._pots = (Pot(task.budget, frozenset(self._of)), *task.pots)
        self._spent = [spent(task, best.bids, pot) for pot in self._pots]
        self._held: dict[str, list[str]] = defaultdict(list)
        for lot in best.bids:
            self._held[self._of[lot].parcel].append(lot)
        self._counts = Counter(self._of[lot].group for lot in best.bids)

    def gain(self, change: Mapping[str, int | None]) -> float | None:
        """What a change gains; None where it costs more than the budget or a group would have too many lots."""
        gain, counts = 0.0, Counter[str]()
        for lot, at in change.items():
            old, new = self._chosen.get(lot), None if at is None else self._of[lot].options[at]
            counts[self._of[lot].group] += (new is not None) - (old is not None)
            gain += (new.saving if new else 0.0) - (old.saving if old else 0.0)
        for parcel in {self._of[lot].parcel for lot in change}:
            gain += _once(self.task, parcel).value * (self._none(parcel, change) - self._none(parcel, {}))
        return gain if self._few(counts) and not self._over(change) else None

    def _over(self, change: Mapping[str, int | None]) -> bool:
        """Some budget would hold more than there is in it."""
        return any(
            before + self._more(change, pot) > pot.budget for before, pot in zip(self._spent, self._pots, strict=True)
        )

    def _more(self, change: Mapping[str, int | None], pot: Pot) -> int:
        """What a change adds to what a budget holds, cents."""
        more, mine = 0, {lot: at for lot, at in change.items() if lot in pot.lots}
        for lot, at in mine.items():
            old = self._chosen.get(lot)
            more += (self._of[lot].options[at].worst if at is not None else 0) - (old.worst if old else 0)
        for parcel in {self._of[lot].parcel for lot in mine}:
            held = [lot for lot in self._held[parcel] if lot in pot.lots]
            new = any(at is not None and self._of[lot].parcel == parcel for lot, at in mine.items())
            after = new or any(lot not in change for lot in held)
            more += _once(self.task, parcel).budget * (after - bool(held))
        return more

    def _none(self, parcel: str, change: Mapping[str, int | None]) -> float:
        """The chance that none of a parcel's bids wins."""
        left = [self._chosen[lot].chance for lot in self._held[parcel] if lot not in change]
        new = [(self._of[lot], at) for lot, at in change.items() if at is not None]
        left += [each.options[at].chance for each, at in new if each.parcel == parcel]
        return prod(1 - chance for chance in left)

    def _few(self, counts: Mapping[str, int]) -> bool:
        return all(
            not group or more <= 0 or self._counts[group] + more <= self.task.takes.get(group, 1)
            for group, more in counts.items()
        )


def _polished(task: Task, chosen: Mapping[str, int]) -> dict[str, int]:
    """Single changes, then a lot given up for another one, as long as the plan gains."""
    best = told(task, chosen)
    while True:
        change = _best_change(task, best, _singles(task)) or _best_change(task, best, _swaps(task, best.bids))
        if change is None:
            return dict(best.bids)
        made = {**best.bids, **change}
        best = told(task, {lot: at for lot, at in made.items() if at is not None})


def _best_change(
    task: Task, best: Plan, changes: Iterable[Mapping[str, int | None]]
) -> Mapping[str, int | None] | None:
    tried, found, most = _Change(task, best), None, GAIN
    for change in changes:
        gain = tried.gain(change)
        if gain is not None and gain > most:
            most, found = gain, change
    return found


def _singles(task: Task) -> Iterator[Mapping[str, int | None]]:
    for each in task.lots:
        yield {each.lot: None}
        for at in range(len(each.options)):
            yield {each.lot: at}


def _swaps(task: Task, chosen: Mapping[str, int]) -> Iterator[Mapping[str, int | None]]:
    """A chosen lot let go or lowered for a bid on another lot."""
    count = 0
    for each in task.lots:
        for other in chosen if each.lot not in chosen else ():
            for at in _spread(each.options):
                count += 1
                if count > SWAPS:
                    return
                yield {other: None, each.lot: at}


def _spread(options: Sequence[Option]) -> Iterable[int]:
    """A few places of a lot's options, the highest among them."""
    step = max(1, len(options) // 6)
    return range(len(options) - 1, -1, -step)
