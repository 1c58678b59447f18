"""Bids for somebody who attends: one lot after the other, each bid lower for the better chances still to come.

Backwards over the closings: what the lots still to come are expected to save, by how many pieces are still needed and
by which parcels have a piece won. A lot is bid for as long as winning it there is better than going on without it, and
never above its ceiling, though it opens a parcel for others.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from decimal import Decimal

from watchlist.core.plan.offers import LEAST_CHANCE, Rung

LOTS = 12
"""Lots of one want that are looked ahead at: the soonest."""
SLACK = 1e-9
HALVINGS = 30
ROUNDS = 12
"""Of setting the price of one budget after the other; they settle in two or three."""

Open = frozenset[str]
"""Parcels with a piece won."""


@dataclass(frozen=True, slots=True)
class Sale:
    """One lot of a want, with the prices it may be won at."""

    lot: str
    parcel: str
    ceiling: float
    """Home units."""
    rungs: tuple[Rung, ...]
    budgets: tuple[int, ...] = (0,)
    """Places of the budgets that hold its day; one at least."""


@dataclass(frozen=True, slots=True)
class Purse:
    """A budget as it is drawn from."""

    left: float
    """No bid on a lot that it holds may cost more; home units."""
    price: float = 0.0
    """What a unit of it is worth beyond itself, so that it lasts; 0 where it is enough."""


@dataclass(frozen=True, slots=True)
class Outlook:
    """What is expected from a lot on, and the bid on it."""

    spent: tuple[float, ...]
    """Of each budget."""
    worth: float = 0.0
    """What bids are compared by: the ceilings less the costs, money at the price of its budgets."""
    saving: float = 0.0
    """The ceilings less the costs."""
    spending: float = 0.0
    pieces: float = 0.0
    bid: Decimal | None = None
    """The highest bid on the lot; None: leave it."""
    chance: float = 0.0
    """Of winning this lot."""
    own: float = 0.0
    """What this lot itself is expected to save, under its ceiling."""
    worst: float = 0.0
    """The most that winning it costs, home units."""


@dataclass(slots=True)
class Ahead:
    """The lots of one want in closing order, with the best bid on each in every state that may come."""

    sales: Sequence[Sale]
    purses: Sequence[Purse] = (Purse(float("inf")),)
    _met: dict[tuple[int, int, Open], Outlook] = field(default_factory=dict)
    _shared: Open = frozenset()

    def __post_init__(self) -> None:
        counts = Counter(sale.parcel for sale in self.sales)
        self._shared = frozenset(name for name, count in counts.items() if count > 1)

    def at(self, lot: int, need: int, opened: Open) -> Outlook:
        """From the lot with this place on, when so many pieces are still needed and these parcels are open."""
        if lot >= len(self.sales) or need <= 0:
            return Outlook((0.0,) * len(self.purses))
        key = (lot, need, opened)
        if key not in self._met:
            self._met[key] = self._worked(*key)
        return self._met[key]

    def _worked(self, lot: int, need: int, opened: Open) -> Outlook:
        sale = self.sales[lot]
        won = opened | {sale.parcel} if sale.parcel in self._shared else opened
        stay, after = self.at(lot + 1, need, opened), self.at(lot + 1, need - 1, won)
        price = 1 + sum(self.purses[n].price for n in sale.budgets)
        gain = after.worth - stay.worth
        most = min(self.purses[n].left for n in sale.budgets)
        cap = min(sale.ceiling / price, (sale.ceiling + gain) / price, most) + SLACK
        bid, chance, paid, worst = None, 0.0, 0.0, 0.0
        for rung in sale.rungs:
            cost = rung.shared if sale.parcel in opened else rung.alone
            if cost > cap:
                break
            bid, worst = rung.bid, max(worst, cost)
            chance, paid = chance + rung.mass, paid + rung.mass * cost
        if chance < LEAST_CHANCE:
            bid, chance, paid, worst = None, 0.0, 0.0, 0.0
        own = chance * sale.ceiling - paid
        return Outlook(
            tuple(
                before + chance * (then - before) + (paid if n in sale.budgets else 0.0)
                for n, (before, then) in enumerate(zip(stay.spent, after.spent, strict=True))
            ),
            stay.worth + chance * (sale.ceiling + gain) - price * paid,
            stay.saving + own + chance * (after.saving - stay.saving),
            stay.spending + paid + chance * (after.spending - stay.spending),
            stay.pieces + chance * (1 + after.pieces - stay.pieces),
            bid,
            chance,
            own,
            worst,
        )


@dataclass(frozen=True, slots=True)
class Want:
    """Lots of which some are needed."""

    name: str
    sales: tuple[Sale, ...]
    """In the order of their closings."""
    need: int = 1
    opened: Open = frozenset()


@dataclass(frozen=True, slots=True)
class Season:
    """All wants looked ahead at together."""

    wants: Mapping[str, Ahead]
    purses: tuple[Purse, ...]
    now: Mapping[str, Outlook]
    """By want: what is expected of it from its first lot on."""

    @property
    def spending(self) -> float:
        """Expected over all wants, home units."""
        return sum(each.spending for each in self.now.values())

    def spent(self, budget: int) -> float:
        """The same of one budget."""
        return sum(each.spent[budget] for each in self.now.values())

    def squeeze(self, budgets: Sequence[int]) -> float:
        """What the ceilings of lots in these budgets are divided by; 1 where the money is enough."""
        return 1 + sum(self.purses[n].price for n in budgets)


def ahead(wants: Sequence[Want], *left: float, going: Callable[[float], None] = lambda share: None) -> Season:
    """The bids of all wants, so that the spending expected stays inside what is left of each budget, and no single bid
    is above it.

    Where the money would not do, a unit of it has a price, the smallest that makes it do, and every ceiling is divided
    by one and the prices of its budgets (pacing: Balseiro and Gur 2019, Learning in repeated auctions with budgets,
    Management Science 65). Prices are set one after the other until none has to be moved (coordinate descent).

    `going` is told how far it is, and may break it off by raising."""
    season = _season(wants, tuple(Purse(each) for each in left))
    for turn in range(ROUNDS):
        before = season.purses
        for n in range(len(left)):
            going(turn / ROUNDS)
            season = _paced(wants, season, n)
        if all(abs(one.price - other.price) < SLACK for one, other in zip(before, season.purses, strict=True)):
            break
    while (over := next((n for n in range(len(left)) if _over(season, n)), None)) is not None:
        season = _paced(wants, season, over, least=season.purses[over].price)
    return season


def _over(season: Season, budget: int) -> bool:
    return season.spent(budget) > season.purses[budget].left + SLACK


def _paced(wants: Sequence[Want], season: Season, budget: int, *, least: float = 0.0) -> Season:
    """The season with the smallest price of a budget at which it lasts, those of the others as they are."""

    def priced(price: float) -> Season:
        purses = list(season.purses)
        purses[budget] = replace(purses[budget], price=price)
        return _season(wants, tuple(purses))

    best = priced(least)
    if not _over(best, budget):
        return best
    low, high = least, least + 1
    while _over(best := priced(high), budget):
        low, high = high, high * 2
    for _ in range(HALVINGS):
        middle = (low + high) / 2
        tried = priced(middle)
        low, high, best = (middle, high, best) if _over(tried, budget) else (low, middle, tried)
    return best


def _season(wants: Sequence[Want], purses: tuple[Purse, ...]) -> Season:
    made = {want.name: Ahead(want.sales[:LOTS], purses) for want in wants}
    return Season(made, purses, {want.name: made[want.name].at(0, want.need, want.opened) for want in wants})
