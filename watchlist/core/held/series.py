"""How complete a series is: what is held, what is missing at a grade, and what would fill it. Records only."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import Literal

from watchlist.core.money.amount import Money
from watchlist.core.prices.record import Band

Act = Literal["bid", "buy", "placed"]


@dataclass(frozen=True, slots=True)
class Way:
    """The cheapest way found to a missing issue: a lot that is open now."""

    lot: str
    venue: str
    grade: str
    act: Act
    """`placed`: a bid on it stands already."""
    price: Money
    """The bid, or the fixed price; sale currency."""
    worst: Money
    """What winning can cost in its parcel, home currency."""
    chance: float
    """Of winning with it; 1 for a fixed price."""
    value: Band | None
    """What this piece is worth."""


@dataclass(frozen=True, slots=True)
class Missing:
    """An issue of which no piece in the grade is held."""

    coin: str
    finest: int | None
    """The best grade held under the one that is asked; None where none is held."""
    way: Way | None
    why: str
    """Why no open lot of it is a way; empty where none is open."""
    value: Band | None
    """What a piece in the grade is worth today, which counts for an issue without a way."""


@dataclass(frozen=True, slots=True)
class Complete:
    """A series against the pieces held."""

    name: str
    grade: int
    issues: int
    held: int
    """Issues held in the grade or finer."""
    missing: tuple[Missing, ...]
    spending: Money
    """Expected for the bids and buys of all ways."""
    worst: Money
    """When every bid wins at its worst."""

    @property
    def below(self) -> int:
        """Issues held under the grade."""
        return sum(each.finest is not None for each in self.missing)

    @property
    def open(self) -> int:
        """Missing issues that a lot open now can fill."""
        return sum(each.way is not None for each in self.missing)

    @property
    def rest(self) -> tuple[Money, int]:
        """What those without a way are worth together, by their medians, and how many of them have none."""
        left = [each.value for each in self.missing if each.way is None]
        known = [band.mid for band in left if band is not None]
        return Money(sum(known, Decimal(0)), self.worst.currency), len(left) - len(known)
