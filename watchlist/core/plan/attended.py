"""Bids for somebody who attends: one lot after the other, each bid lower for the better chances still to come.

Backwards over the closings: what the lots still to come are expected to save, by how many pieces are still needed and
by which parcels have a piece won. A lot is bid for as long as winning it there is better than going on without it, and
never above its ceiling, though it opens a parcel for others.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from decimal import Decimal

from watchlist.core.plan.offers import Rung

LOTS = 12
"""Lots of one want that are looked ahead at: the soonest."""
SLACK = 1e-9
HALVINGS = 40

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


@dataclass(frozen=True, slots=True)
class Outlook:
    """What is expected from a lot on, and the bid on it."""

    saving: float = 0.0
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
    squeeze: float = 1.0
    """Every ceiling is divided by it, so that the budget lasts."""
    most: float = float("inf")
    """No bid may cost more: what is left of the budget, home units."""
    _met: dict[tuple[int, int, Open], Outlook] = field(default_factory=dict)
    _shared: Open = frozenset()

    def __post_init__(self) -> None:
        counts = Counter(sale.parcel for sale in self.sales)
        self._shared = frozenset(name for name, count in counts.items() if count > 1)

    def at(self, lot: int, need: int, opened: Open) -> Outlook:
        """From the lot with this place on, when so many pieces are still needed and these parcels are open."""
        if lot >= len(self.sales) or need <= 0:
            return Outlook()
        key = (lot, need, opened)
        if key not in self._met:
            self._met[key] = self._worked(*key)
        return self._met[key]

    def _worked(self, lot: int, need: int, opened: Open) -> Outlook:
        sale = self.sales[lot]
        won = opened | {sale.parcel} if sale.parcel in self._shared else opened
        stay, after = self.at(lot + 1, need, opened), self.at(lot + 1, need - 1, won)
        ceiling = sale.ceiling / self.squeeze
        gain = after.saving - stay.saving
        cap = min(ceiling, ceiling + gain, self.most) + SLACK
        bid, chance, own, paid, worst = None, 0.0, 0.0, 0.0, 0.0
        for rung in sale.rungs:
            cost = rung.shared if sale.parcel in opened else rung.alone
            if cost > cap:
                break
            bid, worst = rung.bid, max(worst, cost)
            chance, own, paid = chance + rung.mass, own + rung.mass * (ceiling - cost), paid + rung.mass * cost
        return Outlook(
            stay.saving + own + chance * gain,
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
    squeeze: float
    """1 where the budget is enough; else what every ceiling was divided by."""
    now: Mapping[str, Outlook]
    """By want: what is expected of it from its first lot on."""

    @property
    def spending(self) -> float:
        """Expected over all wants, home units."""
        return sum(each.spending for each in self.now.values())


def ahead(wants: Sequence[Want], left: float) -> Season:
    """The bids of all wants, so that the spending expected stays inside what is left and no single bid is above it.

    Where the money would not do, every ceiling is divided by one factor, the smallest that makes it do (pacing:
    Balseiro and Gur 2019, Learning in repeated auctions with budgets, Management Science 65)."""
    season = _season(wants, 1.0, left)
    if season.spending <= left + SLACK:
        return season
    low, high = 1.0, 2.0
    while _season(wants, high, left).spending > left:
        low, high = high, high * 2
    for _ in range(HALVINGS):
        middle = (low + high) / 2
        low, high = (low, middle) if _season(wants, middle, left).spending <= left else (middle, high)
    return _season(wants, high, left)


def _season(wants: Sequence[Want], squeeze: float, left: float) -> Season:
    made = {want.name: Ahead(want.sales[:LOTS], squeeze, left) for want in wants}
    return Season(made, squeeze, {want.name: made[want.name].at(0, want.need, want.opened) for want in wants})
