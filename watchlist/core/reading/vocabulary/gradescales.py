"""The words of the national grading scales as bands of the 70-point scale, looked up by phrase."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from watchlist.core.reading.vocabulary.phrases import Phrases
from watchlist.core.reading.vocabulary.tokens import NUMBER, Token, phrase, spellings

NUMBERS = (1, 2, 3, 4, 6, 8, 10, 12, 15, 20, 25, 30, 35, 40, 45, 50, 53, 55, 58, *range(60, 71))
"""The thirty grade numbers in use."""

Band = tuple[int, int]
Words = dict[str, str]
"""The meanings of one phrase: scale to that scale's token."""

JOINED = 7
"""Letters from which the words of a grade may be written as one: `sehrschön`, `veryfine`."""
ORDER = ("us", "de", "fr", "it", "es", "nl", "pt", "uk", "scand")
"""Scales in the order they are tried when the title favours none."""
OWN = "own"
"""The scale of the words a person has taught: it goes before all others."""


class Scales:
    """Every scale of the table `grades`: which phrase is which token, and what band a token has."""

    def __init__(self, table: Mapping[str, Any]) -> None:
        self.bands: dict[tuple[str, str], Band] = {}
        """(scale, token) to band; a token may end in + or -, or join two (`s-ss`)."""
        self.phrases: Phrases[tuple[str, str]] = Phrases()
        self.written: dict[str, frozenset[str]] = {k: frozenset(v) for k, v in table.get("written", {}).items()}
        self.prefix: dict[str, Band] = {" ".join(phrase(k)): (v[0], v[1]) for k, v in table.get("prefix", {}).items()}
        moves = table.get("move", {})
        self.near, self.upper, self.average = (self._set(moves.get(k, ())) for k in ("near", "upper", "average"))
        self.moves = self.near | self.upper | self.average
        self.to = self._set(table.get("to", ()))
        self.details = self._set(table.get("details", ()))
        self.open = tuple(phrase(text) for text in table.get("open", ()))
        self.open_first = frozenset(words[0] for words in self.open if words)
        self.proof = frozenset(table.get("proof", {}).get("us", ()))
        self.scale_of = {country: scale for scale, them in table.get("scale_of", {}).items() for country in them}
        self.spoken: Mapping[str, str] = table.get("spoken", {})
        """The scale that titles of a language use, by the language's code."""
        for scale, tokens in table.get("scale", {}).items():
            for token, row in tokens.items():
                self._add(scale, token, row)
        for text in self.prefix:
            self.phrases.put(text.split(), ("prefix", text))

    def _set(self, words: Sequence[str]) -> frozenset[str]:
        return frozenset(word for text in words for spelt in spellings(text) for word in spelt[:1])

    def _add(self, scale: str, token: str, row: Sequence[Any]) -> None:
        self.bands[scale, token] = (row[0], row[1])
        plain = not (token[-1] in "+-" or "-" in token)
        for text in ([token] if plain and not token.isdigit() else []) + list(row[2:]):
            for words in spellings(text):
                self.phrases.put(words, (scale, token))
                if len(words) > 1 and len("".join(words)) >= JOINED:
                    self.phrases.put(["".join(words)], (scale, token))

    def teach(self, words: str, band: Band) -> None:
        """A grade word of the person's own."""
        self._add(OWN, " ".join(phrase(words)), band)

    def forget(self, words: str) -> None:
        """These words are no grade: the person says they mean something else."""
        for spelt in spellings(words):
            self.phrases.drop(spelt)

    def longest(self, them: Sequence[Token], at: int) -> tuple[int, Words] | None:
        """The longest grade phrase that starts at a token: the place after it, and its meanings."""
        found = self.phrases.longest(them, at)
        return (found[0], dict(reversed(found[1]))) if found else None

    def near_band(self, scale: str, band: Band) -> Band:
        """Just under a band: from the top of the one below to its own foot."""
        under = [high for (its, _), (_, high) in self.bands.items() if its == scale and high < band[0] + 1]
        return (min(max(under, default=band[0]), band[0]), band[0])


def upper_part(band: Band) -> Band:
    """The upper part of a band by the numbers in use."""
    inside = [n for n in NUMBERS if band[0] <= n <= band[1]]
    return (inside[len(inside) // 2], band[1]) if inside else band


def lower_part(band: Band) -> Band:
    """The lower part of a band by the numbers in use."""
    inside = [n for n in NUMBERS if band[0] <= n <= band[1]]
    return (band[0], inside[(len(inside) - 1) // 2]) if inside else band


def is_figure(token: Token) -> bool:
    """Whether a token can be a number of the 70-point scale."""
    return token.kind == NUMBER and 1 <= token.number <= 70 and len(token.low) <= 2
