"""A seller in a few sentences."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from math import exp

from watchlist.core.sift.line import Sift
from watchlist.page.wording import MARK_WORDS, count


@dataclass(frozen=True, slots=True)
class Seller:
    """One seller by its name: the lots seen, what was bought and what became of it."""

    name: str
    seen: int
    open: int
    marks: Counter[str]
    bought: int
    outcomes: str
    """In words; empty where none was recorded."""
    odds: float
    """Log multiplier of doubts that outcomes taught."""
    short: tuple[float, ...] | None
    """Learned shares of 0, 1 and 2 steps of over-grading."""


def lines(of: Seller) -> list[str]:
    """Lots seen and their marks, pieces bought and their outcomes, what that taught."""
    others = ", ".join(f"{number} {MARK_WORDS[mark]}" for mark, number in of.marks.items() if mark != "doubt")
    found = f"Outcomes: {of.outcomes}." if of.outcomes else NOTHING
    text = [
        f"{of.name}: {count(of.seen, 'lot')} seen, {of.open} open.",
        f"Marked Doubt: {of.marks['doubt']} of {of.seen}{f'; else {others}' if others else ''}. "
        "Signs seen, not a verdict.",
        f"Bought here: {count(of.bought, 'piece')}. {found}",
    ]
    if of.short is not None:
        tenths = round(10 * (1 - of.short[0]))
        text.append(f"Raw pieces lie a step or more below the stated grade in about {tenths} of 10.")
    if of.odds:
        way = "raise" if of.odds > 0 else "lower"
        text.append(f"These outcomes {way} the odds of a doubt by a factor of {exp(abs(of.odds)):.1f}.")
    return [*text, f"Its lots: filter `{Sift(sellers=(of.name,))}`."]


NOTHING = "No outcome recorded: `watchlist outcome KEY genuine|not-genuine|problem|lower`."
