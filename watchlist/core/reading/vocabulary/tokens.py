"""A title as tokens: words, numbers and signs with their places."""

from __future__ import annotations

import re
from functools import cache
from typing import NamedTuple

from watchlist.core.folding import folded

# One expression for every title: figures with their decimal or group marks, fractions, words, single signs.
TOKEN = re.compile(r"([0-9]+(?:[.,][0-9]+)*)|([½¼¾⅓⅔⅛⅜⅝⅞])|([^\W\d_]+(?:'[^\W\d_]+)*)|\S")
FRACTIONS = {"½": 0.5, "¼": 0.25, "¾": 0.75, "⅓": 1 / 3, "⅔": 2 / 3, "⅛": 0.125, "⅜": 0.375, "⅝": 0.625, "⅞": 0.875}
WORD, NUMBER, FRACTION, SIGN = "w", "n", "f", "s"
KINDS = (SIGN, NUMBER, FRACTION, WORD)
"""What the groups of the expression are."""
QUOTES = frozenset("\"'“”„«»")
YEARS = range(1500, 2100)
"""Numbers that may be the date of a piece of the modern coinages."""


class Token(NamedTuple):
    """One word, number or sign of a title."""

    text: str
    """As written."""
    low: str
    """Folded: lower case, no accents."""
    start: int
    """Within the text that was cut, which in a scanned one is the word between blanks."""
    end: int
    kind: str
    glued: bool
    """No blank stands before it."""
    number: int
    """Value of a whole number of at most nine figures without marks, else -1."""


END = Token("", "", 0, 0, SIGN, False, -1)
"""Stands past either end, so that looking ahead needs no test."""


_new = tuple.__new__
"""Builds a token without the checks of its constructor: half the time of cutting a title."""


def tokens(text: str) -> list[Token]:
    """All tokens of a text, in order."""
    out: list[Token] = []
    plain, last, add = folded(text), -1, out.append
    for found in TOKEN.finditer(plain):
        start, end = found.span()
        low, kind, number = found[0], KINDS[found.lastindex or 0], -1
        if kind == NUMBER:
            if end - start <= 9 and low.isdecimal():
                number = int(low)
        elif kind == WORD and not low[0].isalpha():
            kind = SIGN
        add(_new(Token, (text[start:end], low, start, end, kind, start == last, number)))
        last = end
    return out


def phrase(text: str) -> tuple[str, ...]:
    """The words of a lexicon phrase as they are looked up: folded, hyphens and stops left out."""
    if text.isalpha():  # most are one word: half the time of building a vocabulary
        return (folded(text),)
    return tuple(token.low for token in tokens(text) if token.low not in SOFT)


SOFT = frozenset("-.'")
"""Signs that may stand between the words of a phrase: `half-sovereign`, `kl. Randfehler`."""


@cache
def spellings(text: str) -> tuple[tuple[str, ...], ...]:
    """A phrase with its umlauts written both ways, in one order at every start: `schön` is `schon` and `schoen`. The
    words of the lists, which each vocabulary of a process asks for again."""
    wide = text
    for letter, pair in (("ä", "ae"), ("ö", "oe"), ("ü", "ue"), ("ø", "o"), ("æ", "ae"), ("å", "aa"), ("ß", "ss")):
        wide = wide.replace(letter, pair)
    return tuple(dict.fromkeys((phrase(text), phrase(wide)))) if wide != text else (phrase(text),)
