"""Postage by steps: of the value of a parcel, or of its weight."""

from __future__ import annotations

import re
from dataclasses import dataclass
from decimal import Decimal
from itertools import pairwise
from typing import Literal

from watchlist.core.fees.ladders import TermsError

_PAIR = re.compile(r"\s*([0-9]{1,9}(?:[.,][0-9]{1,2})?)\s*:\s*([0-9]{1,9}(?:[.,][0-9]{1,2})?)\s*")


@dataclass(frozen=True, slots=True)
class PostSteps:
    """What a parcel's postage is from each value or weight on. The edge of a step belongs to the lower one."""

    by: Literal["value", "weight"]
    """Of hammer and premium in the sale's currency, or grams."""
    steps: tuple[tuple[Decimal, Decimal], ...]
    """(from, postage), rising; the first is from 0."""
    added: bool = False
    """What one lot more may add at most, whatever the parcel holds already, instead of the postage of a parcel."""

    def __post_init__(self) -> None:
        starts, amounts = zip(*self.steps, strict=True) if self.steps else ((), ())
        if not starts or starts[0] != 0 or any(low >= high for low, high in pairwise(starts)):
            raise TermsError("The steps of the postage must begin at 0 and rise, like 0:9.80; 500:15.")
        if any(low > high for low, high in pairwise(amounts)):
            raise TermsError("The postage of a larger step cannot be less than that of a smaller one.")

    @classmethod
    def from_text(cls, text: str) -> PostSteps:
        """`0:9.80; 500:15` by value, `weight 0:4.50; 100:7` by grams; raises TermsError."""
        words = text.strip().casefold()
        by: Literal["value", "weight"] = "weight" if words.startswith("weight") else "value"
        pairs = [_PAIR.fullmatch(part) for part in words.removeprefix(by).split(";") if part.strip()]
        if not pairs or None in pairs:
            raise TermsError(
                f"The postage {text.strip()[:60]!r} cannot be read: write 9.80, or the postage from each value on, "
                "like 0:9.80; 500:15, or from each weight in grams on, like weight 0:4.50; 100:7."
            )
        return cls(by, tuple((_plain(pair[1]), _plain(pair[2])) for pair in pairs if pair))

    def __str__(self) -> str:
        steps = "; ".join(f"{start:f}:{amount:f}" for start, amount in self.steps)
        return f"weight {steps}" if self.by == "weight" else steps

    def of(self, value: Decimal, grams: Decimal) -> Decimal:
        """The postage of a parcel of this value and weight, or with `added` the most that such a lot adds to one."""
        size = value if self.by == "value" else grams
        if not self.added:
            return self._at(size)
        # On a step the size is added where the step ends: there it reaches furthest for the same postage.
        edges = [start for start, _ in self.steps]
        return max(self._at(edge + size) - self._at(edge) for edge in edges)

    def _at(self, size: Decimal) -> Decimal:
        found = self.steps[0][1]
        for start, amount in self.steps:
            if start < size:
                found = amount
        return found


def _plain(text: str) -> Decimal:
    return Decimal(text.replace(",", "."))
