"""What became of pieces bought, and what it teaches about their sellers and issues."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from typing import Literal

from watchlist.core.marks.doubts import learned_odds
from watchlist.core.prices.truegrades import IN_USE

Said = Literal["genuine", "not genuine", "problem", "lower"]
"""Found genuine; returned as not genuine; a problem that was not told; its true grade so many steps lower."""
PULL = 40.0
"""How many pieces the usual shares of over-grading count for."""
CLIP = (-1.5, 2.5)


@dataclass(frozen=True, slots=True)
class Outcome:
    """One word on a piece that was bought."""

    lot: str
    said: Said
    steps: int
    """Of `lower`: how many."""
    p_fake: float
    """What its signs said before, without what outcomes had taught."""
    seller: str
    issue: str
    raw: bool = True


@dataclass(frozen=True, slots=True)
class Known:
    """Each piece once: the last word on whether it is genuine, its steps, whether a problem was found."""

    pieces: tuple[tuple[Outcome, bool, int | None, bool], ...]
    """(the last word, not genuine, steps lower, a problem found)."""

    @classmethod
    def of(cls, said: Iterable[Outcome]) -> Known:
        """From all that was said, oldest first."""
        by_lot: dict[str, list[Outcome]] = {}
        for one in said:
            by_lot.setdefault(one.lot, []).append(one)
        return cls(tuple(map(_folded, by_lot.values())))

    def odds(self, seller: str, issue: str) -> float:
        """Log multiplier of the odds of a fake for a lot of this seller and issue: both learn (Beta-binomial with the
        chances before each piece as exposure, so that buying only what looks safe does not bias it)."""
        found = self._odds(lambda one: bool(seller) and one.seller == seller)
        found += self._odds(lambda one: bool(issue) and one.issue == issue)
        return max(CLIP[0], min(CLIP[1], found))

    def _odds(self, mine: Callable[[Outcome], bool]) -> float:
        pieces = [(one.p_fake, fake) for one, fake, _, _ in self.pieces if mine(one)]
        return learned_odds(sum(fake for _, fake in pieces), sum(p for p, _ in pieces)) if pieces else 0.0

    def short(self, seller: str, usual: Sequence[float]) -> tuple[float, ...] | None:
        """Shares of 0, 1 and 2 steps by which a seller over-grades raw pieces; None where nothing is known of it."""
        steps = [
            min(step or 0, 2) for one, fake, step, _ in self.pieces if one.seller == seller and one.raw and not fake
        ]
        if not seller or not steps:
            return None
        whole = PULL + len(steps)
        return tuple((PULL * share + steps.count(step)) / whole for step, share in enumerate(usual))

    def words(self, seller: str) -> str:
        """`3 bought here, 1 a step lower than stated, 1 not genuine`; empty where nothing is known."""
        mine = [each for each in self.pieces if each[0].seller == seller]
        if not seller or not mine:
            return ""
        lower = [steps for _, _, steps, _ in mine if steps]
        parts = [f"{len(mine)} bought here"]
        parts += [f"{lower.count(1)} a step lower than stated"] if lower.count(1) else []
        parts += [f"{len(lower) - lower.count(1)} two steps or more lower"] if len(lower) > lower.count(1) else []
        problems, fakes = sum(problem for *_, problem in mine), sum(fake for _, fake, _, _ in mine)
        parts += [f"{problems} with an undisclosed problem"] if problems else []
        parts += [f"{fakes} returned as not genuine"] if fakes else []
        return ", ".join(parts) if len(parts) > 1 else f"{parts[0]}, as stated"


def steps_lower(stated: int, true: int) -> int:
    """By how many grades in use a piece lies below the stated one; 0 for one that is as stated or better."""
    return max(bisect_left(IN_USE, stated) - bisect_left(IN_USE, true), 0)


def _folded(said: Sequence[Outcome]) -> tuple[Outcome, bool, int | None, bool]:
    word = next((one.said for one in reversed(said) if one.said in ("genuine", "not genuine", "lower")), "genuine")
    steps = next((one.steps for one in reversed(said) if one.said == "lower"), None)
    return said[-1], word == "not genuine", steps, any(one.said == "problem" for one in said)
