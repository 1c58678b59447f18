"""The records of a guide."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal

from watchlist.core.coins.issue import Issue
from watchlist.core.prices.population import Population


@dataclass(frozen=True, slots=True)
class Column:
    """A grade of the guide, raw or certified."""

    grade: int
    """Number of the 70-point scale."""
    raw: bool


USUAL = (*(Column(grade, True) for grade in (8, 12, 20, 40, 50)), *(Column(grade, False) for grade in (60, 63, 65)))
"""The grades of a guide where none are chosen."""


@dataclass(frozen=True, slots=True)
class Figure:
    """What an issue brings in one column; home currency."""

    median: Decimal
    low: Decimal
    high: Decimal
    own: bool
    """It rests on sales of this very issue, or on the person's guide rows; else on similar issues alone."""


@dataclass(frozen=True, slots=True)
class Best:
    """The highest price realised of late."""

    price: Decimal
    """Home currency, as the guide's figures count fees."""
    day: date
    grade: float
    raw: bool
    venue: str


@dataclass(frozen=True, slots=True)
class Rise:
    """How prices of an issue moved between two periods, its sales made equal in grade."""

    share: float
    """.12 is twelve per cent up."""
    low: float
    high: float
    early: int
    """Sales of the first period."""
    late: int


APART = 2.0
"""From how many times the odds on, one way or the other, an issue stands apart from its series."""


@dataclass(frozen=True, slots=True)
class Rarity:
    """How the pieces seen of an issue stand against its series: common in mint state, scarce worn, or the reverse."""

    fine: int
    """Pieces seen in mint state."""
    seen: int
    """All pieces seen with a grade."""
    low: float
    """Share in mint state, lower end of its interval."""
    high: float
    series: float
    """Share in mint state of the rest of the series."""
    source: str = ""
    """Whose counts these are: a service, with the day; empty for one's own feeds and sales."""

    @property
    def stands_apart(self) -> bool:
        """The interval leaves the series out, and the share is another by more than long lists make certain: its odds
        are twice those of the series, or half."""
        worn, others = self.seen - self.fine, 1.0 - self.series
        ours, theirs = self.fine * others, self.series * worn  # the odds, each times the other's divisor
        far = ours >= APART * theirs or theirs >= APART * ours
        return far and (self.low > self.series or self.high < self.series)

    @property
    def common_fine(self) -> bool:
        """Common in mint state and scarce worn."""
        return self.low > self.series


@dataclass(frozen=True, slots=True)
class Entry:
    """One issue of the guide."""

    issue: Issue
    figures: Mapping[Column, Figure]
    """A column is missing where too few sales are known."""
    sales: int = 0
    """Prices realised that count, in any grade."""
    newest: date | None = None
    best: Best | None = None
    rise: Rise | None = None
    offered: int = 0
    """Pieces seen in feeds and sales, each once."""
    at_or_above: Mapping[int, int] = field(default_factory=dict)
    """By grade: pieces seen in it or better."""
    rarities: tuple[Rarity, ...] = ()
    """By one's own feeds and sales, and by the counts of each service."""
    populations: tuple[Population, ...] = ()
    strikes: Mapping[str, int] = field(default_factory=dict)
    """By how a sale says that its piece is struck, such as `weak`: sales that count."""


@dataclass(frozen=True, slots=True)
class Guide:
    """A guide to a series."""

    series: str
    columns: tuple[Column, ...]
    entries: tuple[Entry, ...]
    currency: str
    kind: str
    """What a figure means: `hammer`, `before postage`, `all-in`."""
    made: date
    since: date | None
    """The first day on which a piece of the series was seen."""
    left_out: int = 0
    """Prices realised that do not count."""
    years: float = 5
    effects: tuple[tuple[str, float], ...] = ()
    """What traits that its sales name do to the log of a price in this series."""
