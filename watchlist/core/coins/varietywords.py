"""The words of varieties in all languages as plain ones: what they name and deny, and where on the piece it stands."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from watchlist.core.coins.issue import bare_words
from watchlist.core.coins.mintnotes import NoteWords, note_words
from watchlist.core.folding import any_of
from watchlist.core.tables import once

NEVER = re.compile(r"(?!)")


@dataclass(frozen=True, slots=True, eq=False)
class VarietyWords:
    """The table `varieties`, built. Told apart by identity, so that what is made of a text with it can be kept."""

    meant: Mapping[str, str] = field(default_factory=dict)
    """A word, folded, to the plain one it means."""
    empty: frozenset[str] = frozenset()
    """Words that tell no variety from another."""
    fillers: frozenset[str] = frozenset()
    """... with those that may stand between `not` and what it denies."""
    stops: frozenset[str] = frozenset(",;|()!:")
    """A negation reaches no further than these."""
    joining: frozenset[str] = frozenset()
    """`and`, `or`."""
    places: frozenset[str] = frozenset()
    """Where on the piece: what stands before one of them is the variety, and may stand in a title alone."""
    missing: frozenset[str] = frozenset()
    """Behind what they deny: `dot missing`."""
    overdate: re.Pattern[str] = NEVER
    """`7 over 6`."""
    strikes: Mapping[str, str] = field(default_factory=dict)
    """A word of a catalogue to the strike it names."""
    finishes: Mapping[str, str] = field(default_factory=dict)
    """Words for a finish, as `bare_words` has them, to its plain name, the longest first."""
    around_mint: frozenset[str] = frozenset()
    """Around a mint in a typed coin."""
    notes: NoteWords | None = None
    """What stands before a mint in a catalogue's notes."""


@once
def variety_words(table: Mapping[str, Any]) -> VarietyWords:
    """Build the words from the table `varieties`."""
    meant, around = _turned(table["plain"]), table["around"]
    over = any_of(word for word, plain in meant.items() if plain == "overdate")
    return VarietyWords(
        meant=meant,
        empty=frozenset(around["empty"]),
        fillers=frozenset((*around["empty"], *around["fillers"])),
        stops=frozenset((*",;|()!:", *around["stops"])),
        joining=frozenset(around["and"]),
        places=frozenset(around["places"]),
        missing=frozenset(around["missing"]),
        overdate=re.compile(rf"\b(\d+) (?:{over}) (\d+)\b"),
        strikes=_turned(table["strikes"]),
        finishes=_longest_first(table["finishes"]),
        around_mint=frozenset(table["notes"]["typed"]),
        notes=note_words(table["notes"]),
    )


def _longest_first(listed: Mapping[str, list[str]]) -> dict[str, str]:
    found = {bare_words(word): name for name, words in listed.items() for word in words}
    return {word: found[word] for word in sorted(found, key=len, reverse=True)}


def _turned(listed: Mapping[str, list[str]]) -> dict[str, str]:
    return {word: name for name, words in listed.items() for word in words}
