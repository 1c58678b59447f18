"""Words that no list has: a compound with a known end (`Madonnentaler`), or a known word misspelt (`scrached`)."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import NamedTuple

from watchlist.core.reading.vocabulary.memo import Memo
from watchlist.core.reading.vocabulary.phrases import Phrases


class Sense(NamedTuple):
    """One meaning of a phrase."""

    kind: str
    value: str
    lang: str


SHORTEST = 7
"""Letters beyond which a word may be a compound."""
LONGEST = 24
MISSPELT = 6
"""Letters from which a misspelt word is still taken for the word it is near to."""
SPELT = {"problem": MISSPELT, "unit": MISSPELT, "coin": MISSPELT, "designation": MISSPELT, "replica.words": 8}
"""Kinds of words that are looked for misspelt, and from how many letters."""


class StrangeWords:
    """What a word that no list has may still be."""

    def __init__(self, phrases: Phrases[Sense], ends: Mapping[str, Sense], spared: frozenset[str]) -> None:
        """`ends`: what compounds may end in; `spared`: words that are never a slip of another."""
        self._phrases, self._ends, self._spared = phrases, ends, spared
        self._slips: dict[str, str] = {}
        self.senses = Memo(self._senses)
        """The senses of a word in lower case, empty for none."""

    def forget(self) -> None:
        """The lists have changed."""
        self._slips = {}
        self.senses.clear()

    def _senses(self, word: str) -> Sequence[Sense]:
        return () if word in self._spared else self._compound(word) or self._meant(word)

    def _compound(self, word: str) -> Sequence[Sense]:
        if len(word) <= SHORTEST:
            return ()
        return [sense for end, sense in self._ends.items() if word.endswith(end)][:1]

    def _meant(self, word: str) -> Sequence[Sense]:
        """The senses of a long word of the lists that this one misspells by a letter more, less, other or swapped."""
        if not MISSPELT <= len(word) <= LONGEST:
            return ()
        slips = self._slips = self._slips or self._one_letter_off()
        near = (slips[slip] for slip in (word, *_less(word)) if slip in slips)
        meant = next((other for other in near if _one_slip(word, other)), None)
        return self._phrases.root[meant].found if meant else ()

    def _one_letter_off(self) -> dict[str, str]:
        """Every long single word of some kinds, whole and with one letter left out."""
        out: dict[str, str] = {}
        for word, node in self._phrases.root.items():
            if any(len(word) >= SPELT.get(sense.kind, len(word) + 1) for sense in node.found):
                for slip in (word, *_less(word)):
                    out.setdefault(slip, word)
        return out


def _less(word: str) -> list[str]:
    return [word[:at] + word[at + 1 :] for at in range(1, len(word))]


def _one_slip(word: str, other: str) -> bool:
    """Whether two words differ by one letter more, less or other, or by two swapped; the first letters agree."""
    if word[:-1] == other[:-1]:
        return False  # another ending is another word: states is no stater
    start, shorter = 0, min(len(word), len(other))
    while start < shorter and word[start] == other[start]:
        start += 1
    stop = 0
    while stop < shorter - start and word[-1 - stop] == other[-1 - stop]:
        stop += 1
    one, two = word[start : len(word) - stop], other[start : len(other) - stop]
    return start > 0 and (max(len(one), len(two)) <= 1 or (len(one) == len(two) == 2 and one == two[::-1]))
