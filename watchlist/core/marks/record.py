"""What is kept of a judgement: the mark, its reasons, the doubt and its signs, the wants it answers."""

from __future__ import annotations

import math
from dataclasses import dataclass
from decimal import Decimal
from typing import Literal

from watchlist.core.money.amount import Money
from watchlist.core.prices.record import Band

Mark = Literal[
    "bargain", "low", "in range", "over", "above ceiling", "doubt", "unclear", "few sales", "copy"
]  # fmt: skip

SIGNS: dict[str, str] = {
    "copy": "C",
    "doubt": "!",
    "unclear": "?",
    "few sales": "-",
    "bargain": "B",
    "low": "L",
    "over": "O",
    "above ceiling": "A",
    "in range": "I",
}
"""The one-letter sign of each mark, in the order in which they outrank each other."""

Level = Literal["none", "query", "caution", "strong"]
Strength = Literal["weak", "moderate", "strong"]


@dataclass(frozen=True, slots=True)
class Want:
    """A row of the want-list."""

    id: str
    """Short id, unique in the notebook (`w12` or the person's own)."""
    country: str
    denomination: str
    year: int
    mint: str | None = None
    """Mint mark; empty is the main mint, None any mint."""
    variety: str | None = None
    """None: any variety; empty: the regular coin."""
    min_grade: int | None = None
    """Lowest number of the 70-point scale that the person takes."""
    max_grade: int | None = None
    certified: bool = False
    """True: only pieces that a configured service holds now."""
    ceiling: Money | None = None
    """The most to pay, all-in."""
    low: Money | None = None
    high: Money | None = None
    """The person's own band, used where sales are few."""
    quantity: int = 1
    filled: int = 0
    upgrade: bool = False
    """Keep asking although filled."""
    priority: int = 0
    note: str = ""
    problems: Literal["", "none", "any"] = ""
    """Whether pieces with problems match; empty: as the note says, and none where it says nothing."""
    traits: tuple[str, ...] = ()
    """What the person asks for beyond the grade, as `colour:RD`; with `-` before it what is refused."""

    @property
    def asking(self) -> bool:
        """Not filled yet, or filled and looking for a better piece."""
        return self.upgrade or self.filled < self.quantity


@dataclass(frozen=True, slots=True)
class NearWant:
    """A want that the lot nearly answers, and why not quite."""

    want: str
    why: str


@dataclass(frozen=True, slots=True)
class Sign:
    """One sign seen."""

    id: str
    """Stable name in words/signs.toml."""
    group: str
    text: str
    """The sign in words, with its figures: `weight given 25.8 g, standard 27.2 g`."""
    weight: float
    """Natural-log odds; signs of one group are not added up."""
    strength: Strength
    could_be: str = ""
    """Innocent causes, in words."""
    dismissed: str | None = None
    """The note of the person who set it aside; None while it counts."""
    seen: str = ""
    """What it is dismissed by where its words may change: of a number where it was seen, and what that was."""

    @property
    def name(self) -> str:
        """What it is dismissed by: its id, and for a certificate number also where that was seen."""
        return f"{self.group}: {self.seen or self.id}"


@dataclass(frozen=True, slots=True)
class Doubt:
    """All signs of one lot and the level they reach together."""

    level: Level = "none"
    score: float = -4.0
    """Natural-log odds; P(fake) = 1 / (1 + e^-score) on the made markets the weights were checked on."""
    signs: tuple[Sign, ...] = ()
    copy: bool = False
    """The title or description says copy: a state of its own, no score."""
    comforts: tuple[Sign, ...] = ()
    """What speaks for the piece; their weights are below zero and count in the score."""
    dismissed: tuple[Sign, ...] = ()
    """Signs that the person has set aside; they count for nothing."""

    @property
    def p_fake(self) -> float:
        """P(fake) on the made markets the weights were checked on; an order of concern, not a finding."""
        return 1 / (1 + math.exp(-self.score))


@dataclass(frozen=True, slots=True)
class Reason:
    """Why a mark was given."""

    text: str
    strength: str = ""
    group: str = ""
    could_be: str = ""
    dismissed: str | None = None
    """For a sign that the person has set aside: the note, perhaps empty. It counts for nothing then."""


@dataclass(frozen=True, slots=True)
class Judgement:
    """All that the program thinks of a lot. Money is in home currency unless its currency says otherwise."""

    issue: str | None
    """Key of the issue, or None."""
    candidates: tuple[str, ...]
    """Keys of all issues that the reading allows, when more than one."""
    wants: tuple[str, ...]
    near_wants: tuple[NearWant, ...]
    grade_low: int | None
    grade_high: int | None
    band: Band | None
    """What the next sale of such a piece may bring."""
    all_in: Money | None
    """All-in cost of the price now, home currency; None without a price."""
    cost_lines: tuple[tuple[str, str], ...]
    """The working of the all-in cost: (line, amount with currency)."""
    gap: Decimal | None
    """All-in cost over the value's median, less one: -0.18 is 18 per cent under."""
    ceiling: Money | None
    """The highest ceiling of the wants answered."""
    ceiling_want: str | None
    bid_limit: Money | None
    """Sale currency."""
    doubt: Doubt
    mark: Mark
    also: tuple[str, ...]
    """What else holds: `bargain` for a doubtful lot that is cheap, `low`, `over`, `above ceiling`; `early` for a lot In
    range before its price is one to act on; for Low what keeps it from a Bargain: `signs`, `unsure`, `shared`."""
    so_far: bool
    """The mark was made at the bid so far of an open auction."""
    reasons: tuple[Reason, ...]
    chance_worth_it: float | None = None
    """Chance that the piece is genuine and worth its cost with the margin asked; None where nothing can be said."""
    value: Band | None = None
    """What the piece is worth: low, median and high of its value, by which mark and gap are made."""
    beyond: tuple[str, ...] = ()
    """Faults and traits that the value rests on beside the grade, in words."""
