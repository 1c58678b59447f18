"""What the person teaches the reader: these words mean this, at one source or at all."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace


@dataclass(frozen=True, slots=True)
class Correction:
    """A word taught by the person: these words mean this value of this field, at one source or at all."""

    words: str
    field: str
    """Any field of a reading, or `nothing` for words that mean nothing."""
    value: str
    source: str = ""
    """Empty: at every source."""


TAUGHT: Mapping[str, str] = {
    "country": "country", "problems": "problem", "designations": "designation", "replica": "replica.words",
    "variety": "variety", "multiple": "multiple.words", "kind": "kind", "nothing": "nothing.words",
}  # fmt: skip
"""Fields that a word can be taught for, beside denomination, mint, service and grade: what kind of word it becomes."""
TEACHABLE = ("denomination", "mint", "grade", "service", *TAUGHT)


def at_source(taught: Iterable[Correction], source: str) -> list[Correction]:
    """The corrections that hold at a source; its own come last, and so win."""
    found = sorted((c for c in taught if c.source in ("", source)), key=lambda c: bool(c.source))
    return [replace(correction, source="") for correction in found]
