"""Which lots a venue sends in one parcel, as its terms say it."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Literal

from watchlist.core.fees.ladders import TermsError

LONGEST = 60
"""Days: no venue waits longer before it sends."""
_DAYS = re.compile(r"days\s*:\s*([0-9]{1,3})")


@dataclass(frozen=True, slots=True)
class Together:
    """The rule by which lots share a parcel."""

    rule: Literal["sale", "days", "no"]
    days: int = 0
    """How many days after the first lot others still go along."""
    assumed: bool = False
    """The venue did not state it: shown, and counted nowhere."""


def together(text: str, kind: str) -> Together:
    """The rule of `ships_together`; unstated, what is usual at venues of the kind. Raises TermsError."""
    words = text.strip().casefold()
    if not words:
        return Together("sale" if kind in ("auction", "club") else "no", assumed=True)
    if words in ("sale", "no"):
        return Together("sale" if words == "sale" else "no")
    found = _DAYS.fullmatch(words)
    if not found or not 1 <= int(found[1]) <= LONGEST:
        raise TermsError(f"`{text.strip()[:40]}` is none of sale, days:1 to days:{LONGEST}, no.")
    return Together("days", int(found[1]))
