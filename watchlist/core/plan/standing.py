"""Bids left before the sales, which nobody attends: the set that is expected to save most inside a budget.

What a parcel costs once is paid only where one of its bids wins, so that the sum to make largest is that of the lots'
savings less, for each parcel, its fixed cost by the chance that any of its bids wins. That sum is not linear. A tangent
to it is never above it, and makes a round that `knapsack` solves exactly; the next tangent touches at the choice found,
so that no round is worse than the one before. Five starts; then single changes and swaps while they gain.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
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
class Task:
    """What is to be planned."""

    lots: tuple[Candidate, ...]
    parcels: Mapping[str, Once]
    takes: Mapping[str, int]
    """How many lots of a group are needed; 1 where it is not named."""
    budget: int
    """Cents."""


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


def standing(task: Task) -> Plan:
    """The best plan found. Never one that can cost more than the budget; without a bid that fits an empty one."""
    lots = tuple(sorted((each for each in task.lots if each.options), key=lambda each: each.lot))
    clean = Task(lots, task.parcels, task.takes, task.budget)
    met: dict[tuple[float, ...], Mapping[str, int]] = {}
    best = told(clean, {})
    for start in STARTS:
        for chosen in _rounds(clean, _at_most(clean, start), met):
            made = told(clean, chosen)
            best = max(best, made, key=lambda plan: plan.better)
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


# --- single changes -------------------------------------------------------------------------------------------------


class _Change:
    """A choice with its sums kept, so that what a change makes of them is soon told."""

    def __init__(self, task: Task, best: Plan) -> None:
        self.task, self.best = task, best
        self._of = {each.lot: each for each in task.lots}
        self._chosen = {lot: self._of[lot].options[at] for lot, at in best.bids.items()}
        self._held: dict[str, list[str]] = defaultdict(list)
        for lot in best.bids:
            self._held[self._of[lot].parcel].append(lot)
        self._counts = Counter(self._of[lot].group for lot in best.bids)

    def gain(self, change: Mapping[str, int | None]) -> float | None:
        """What a change gains; None where it costs more than the budget or a group would have too many lots."""
        gain, worst, counts = 0.0, self.best.worst, Counter[str]()
        for lot, at in change.items():
            old, new = self._chosen.get(lot), None if at is None else self._of[lot].options[at]
            counts[self._of[lot].group] += (new is not None) - (old is not None)
            gain += (new.saving if new else 0.0) - (old.saving if old else 0.0)
            worst += (new.worst if new else 0) - (old.worst if old else 0)
        for parcel in {self._of[lot].parcel for lot in change}:
            before, after = self._none(parcel, {}), self._none(parcel, change)
            once = _once(self.task, parcel)
            gain += once.value * ((after or 1.0) - (before or 1.0))
            worst += once.budget * ((after is not None) - (before is not None))
        return gain if worst <= self.task.budget and self._few(counts) else None

    def _none(self, parcel: str, change: Mapping[str, int | None]) -> float | None:
        """The chance that none of a parcel's bids wins; None where it has none."""
        left = [self._chosen[lot].chance for lot in self._held[parcel] if lot not in change]
        new = [(self._of[lot], at) for lot, at in change.items() if at is not None]
        left += [each.options[at].chance for each, at in new if each.parcel == parcel]
        return prod(1 - chance for chance in left) if left else None

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
    desk, found, most = _Change(task, best), None, GAIN
    for change in changes:
        gain = desk.gain(change)
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
