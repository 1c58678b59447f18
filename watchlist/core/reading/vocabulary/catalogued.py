"""What the person's own catalogue knows that helps to read a title."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field


@dataclass(frozen=True, slots=True)
class Catalogued:
    """The names of a catalogue: words that no list has, and spellings that a reading keeps to."""

    denominations: Sequence[str] = ()
    types: Mapping[str, str] = field(default_factory=dict)
    """Names of types of one denomination alone, each with it."""
    shared: Sequence[str] = ()
    """Names of types that several denominations share, such as a ruler's: they say nothing of the value."""
    mints: Sequence[str] = ()
    """Mint marks; one of many letters is a mint's name."""
    countries: Sequence[str] = ()
    places: Mapping[str, str] = field(default_factory=dict)
    """Mints by name, as the catalogue's notes tell them, each with its mark."""
    struck: Mapping[tuple[str, int], frozenset[str]] = field(default_factory=dict)
    """The mint marks listed for each denomination and year."""


NOTHING = Catalogued()
