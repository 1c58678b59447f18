"""The names of mints that a catalogue's notes tell: `mint G = Grevenau`, `struck at Mersa`, `Velden mint`."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from watchlist.core.coins.issue import bare_words
from watchlist.core.folding import plain
from watchlist.core.tables import once

_NAME = r"([^\W\d_a-zß-ÿ][^\W\d_]{2,}(?:[ -][^\W\d_a-zß-ÿ][^\W\d_]+){0,2})"
"""A capitalised name of up to three words."""


@dataclass(frozen=True, slots=True)
class NoteWords:
    """The words before a mint in a note, as patterns."""

    place: re.Pattern[str]
    """`struck at Mersa`, `Velden mint`."""
    two: re.Pattern[str]
    """`struck at Tarn Vale`: a name of two capitalised words."""
    equals: re.Pattern[str]
    """The plain form: `mint = Karsk`, `mint G = Grevenau`."""
    no_place: frozenset[str]


@once
def note_words(notes: Mapping[str, list[str]]) -> NoteWords:
    """Build the patterns from the table `varieties.notes`."""
    struck, mint = _any_of(notes["struck"]), _any_of(notes["mint"])
    return NoteWords(
        place=re.compile(rf"(?:{struck}):? ([^\W\d]{{3,}})|([^\W\d]{{3,}}) mint\b", re.IGNORECASE),
        two=re.compile(rf"(?i:{struck}):? ([^\W\d_a-zß-ÿ][^\W\d_]+(?: [^\W\d_a-zß-ÿ][^\W\d_]+)+)"),
        equals=re.compile(rf"\b(?i:{mint}) ?(?:([A-Za-z*.]{{1,4}}) ?)?(?:=|:|is\b) ?{_NAME}"),
        no_place=frozenset(notes["no_place"]),
    )


def _any_of(phrases: Iterable[str]) -> str:
    """A pattern for any of some phrases, the longest first, with or without the marks on their letters."""
    return "|".join("".join(map(_letter, phrase)) for phrase in sorted(phrases, key=len, reverse=True))


def _letter(letter: str) -> str:
    """`ü` as `ü`, `u` or `ue`."""
    bare = plain(letter)
    return re.escape(letter) if bare == letter else f"[{letter}{bare}]e?"


def places(note: str, mint: str, words: NoteWords | None) -> set[str]:
    """Mint places that an issue's note names; a mark that is told with one must be the issue's own."""
    if not note or words is None:
        return set()
    names = [*_equated(note, mint, words), *(hit[1] for hit in words.two.finditer(note))]
    names += [hit[1] or hit[2] for hit in words.place.finditer(note)]
    found = {bare_words(name) for name in names}
    return {name for name in found if name.split()[0] not in words.no_place and not _is_part(name, found)}


def _equated(note: str, mint: str, words: NoteWords) -> Iterator[str]:
    """`mint = Karsk`, and `G = Grevenau` of the issue's own mark."""
    for hit in words.equals.finditer(note):
        if not hit[1] or hit[1].casefold() == mint.casefold():
            yield hit[2]
    if mint:
        yield from (hit[1] for hit in re.finditer(rf"(?<!\w){re.escape(mint)} ?= ?{_NAME}", note))


def _is_part(name: str, found: set[str]) -> bool:
    return any(name != other and other.startswith(f"{name} ") for other in found)
