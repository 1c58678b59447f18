"""Bid increments: the rungs a bid may stand on."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal
from functools import lru_cache
from itertools import pairwise
from typing import NamedTuple

_CENT = Decimal("0.01")


class TermsError(ValueError):
    """Terms that cannot be used; the message is one clear sentence."""


class Stretch(NamedTuple):
    """Rungs at even steps: first, first + step, ... ; `rungs` of them, None without end."""

    first: Decimal
    step: Decimal
    rungs: int | None


@dataclass(frozen=True, slots=True)
class Ladder:
    """A venue's increments: from a price on, bids rise by a step. Rungs count from 0 (0 + step, and so on)."""

    steps: tuple[tuple[Decimal, Decimal], ...]
    """(from, step), rising; the first is from 0."""
    name: str = ""
    """The name of a usual ladder, or empty."""
    assumed: bool = False
    """The venue did not state it; taken from common practice."""

    def __post_init__(self) -> None:
        starts = [start for start, _ in self.steps]
        if not starts or starts[0] != 0:
            raise TermsError("The increments must begin at 0, like 0:5;100:10.")
        if any(low >= high for low, high in pairwise(starts)):
            raise TermsError("The prices in the increments must rise, like 0:5;100:10;500:25.")
        if not all(step > 0 and start % _CENT == 0 and step % _CENT == 0 for start, step in self.steps):
            raise TermsError("Each increment must be above 0 and in whole cents.")

    @classmethod
    def parse(cls, text: str) -> Ladder:
        """`0:5;100:10;500:25` (from:step) or the name of a usual ladder; raises TermsError."""
        name = text.strip().lower()
        if name in USUAL:
            return cls(USUAL[name], name)
        try:
            pairs = [part.replace(",", ".").split(":") for part in name.split(";") if part.strip()]
            steps = tuple((_plain(start), _plain(step)) for start, step in pairs)
        except (ValueError, ArithmeticError):
            raise TermsError(
                f"The increments {text.strip()[:60]!r} cannot be read: "
                f"write them like 0:5;100:10;500:25, or one of {', '.join(USUAL)}."
            ) from None
        return cls(steps)

    def __str__(self) -> str:
        return self.name or ";".join(f"{start:f}:{step:f}" for start, step in self.steps)

    def rungs(self, upto: Decimal, start: Decimal = Decimal(0)) -> Iterator[Decimal]:
        """The rungs up to and with `upto`; a `start` above 0 (the starting price) comes first, for it can be bid."""
        rung = start if start > 0 else self.next_above(Decimal(0))
        while rung <= upto:
            yield rung
            rung = self.next_above(rung)

    def next_above(self, price: Decimal) -> Decimal:
        """The smallest rung above a price."""
        stretches = _stretches(self.steps)
        at = max(bisect_right(stretches, price, key=lambda stretch: stretch.first) - 1, 0)
        first, step, count = stretches[at]
        climbed = int((max(price, first) - first) // step) + 1
        return stretches[at + 1].first if count is not None and climbed >= count else first + climbed * step

    def highest_upto(self, price: Decimal) -> Decimal | None:
        """The largest rung at or under a price; None under the first."""
        low = next((each for each in reversed(self.stretches()) if each.first <= price), None)
        if low is None:
            return None
        climbed = int((price - low.first) // low.step)
        return low.first + low.step * (climbed if low.rungs is None else min(climbed, low.rungs - 1))

    def step_at(self, price: Decimal) -> Decimal:
        """The increment that holds at a price, be it a rung or not: 25 at 300 and at 310 where 25 holds from 300 on."""
        return self.steps[max(bisect_right(self.steps, price, key=lambda step: step[0]) - 1, 0)][1]

    def stretches(self) -> list[Stretch]:
        """The rungs above 0 as stretches of even steps, low to high, each rung in one of them."""
        nought, *rest = _stretches(self.steps)
        if nought.rungs == 1:
            return rest
        lowest = Stretch(nought.first + nought.step, nought.step, None if nought.rungs is None else nought.rungs - 1)
        return [lowest, *rest]


def _plain(text: str) -> Decimal:
    if not text.strip().replace(".", "", 1).isdecimal():
        raise ValueError(text)
    return Decimal(text.strip())


@lru_cache(maxsize=64)
def _stretches(steps: tuple[tuple[Decimal, Decimal], ...]) -> list[Stretch]:
    """Stretches with 0 as the first rung. A stretch begins at the first rung reached by walking, which need not be
    the price where its step begins to hold: with 0:30;100:50 the walk goes 90, 120, 170."""
    found = []
    at = Decimal(0)
    for (_, step), (end, _) in pairwise(steps):
        if at < end:
            count = int(-((at - end) // step))
            count += at + count * step < end
            found.append(Stretch(at, step, count))
            at += count * step
    found.append(Stretch(at, steps[-1][1], None))
    return found


def _steps(text: str) -> tuple[tuple[Decimal, Decimal], ...]:
    pairs = (part.split(":") for part in text.split(";"))
    return tuple((Decimal(start), Decimal(step)) for start, step in pairs)


def _two_five_eight() -> tuple[tuple[Decimal, Decimal], ...]:
    """Bids end in 0, 2, 5, 8 between 2p and 5p of each decade p: 200, 220, 250, 280, 300, 320 and so on."""
    steps = [(Decimal(0), Decimal(5))]
    for power in range(2, 12):
        tenth = Decimal(10) ** (power - 1)
        turns = ((10, 1), (20, 2), (22, 3), (28, 2), (32, 3), (38, 2), (42, 3), (48, 2), (50, 5))
        steps += [(start * tenth, step * tenth) for start, step in turns]
    return tuple(steps)


USUAL: Mapping[str, tuple[tuple[Decimal, Decimal], ...]] = {
    # Common practice; every venue states its own in its terms.
    "floor_dollar": _steps(
        "0:5;100:10;300:25;500:50;1000:100;3000:250;5000:500;10000:1000;30000:2500;50000:5000;100000:10000"
    ),
    "floor_euro": _steps("0:2;50:5;200:10;500:20;1000:50;2000:100;5000:200;10000:500;20000:1000;50000:2500"),
    "online_small": _steps("0:0.10;2:0.20;10:0.50;40:1;150:2;400:5;1500:20"),
    "two_five_eight": _two_five_eight(),
}

_FLOOR = {**dict.fromkeys(("USD", "CAD", "AUD", "NZD"), "floor_dollar"), "GBP": "two_five_eight"}
"""By currency; any other's is the euro's."""


def common_practice(kind: str, currency: str) -> Ladder:
    """The ladder taken where a venue states none, marked as assumed."""
    if kind == "dealer":
        return Ladder(((Decimal(0), Decimal(1)),), "whole units", assumed=True)
    name = "online_small" if kind == "marketplace" else _FLOOR.get(currency, "floor_euro")
    return Ladder(USUAL[name], name, assumed=True)
