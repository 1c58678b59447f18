"""One plain spelling of a text, letter for letter, so that places in it stay places in the original."""

from __future__ import annotations

import re
from collections.abc import Iterable
from unicodedata import normalize

_BLANKS = "\u00a0\u1680\u2000\u2001\u2002\u2003\u2004\u2005\u2006\u2007\u2008\u2009\u200a\u202f\u205f\u3000\t\r\f\v"
_DASHES = "\u2010\u2011\u2012\u2013\u2014\u2015\u2212"
_TICKS = "\u2018\u2019\u02bc\u00b4`"


_PLAIN = str.maketrans(
    {
        **{letter: base for letter in map(chr, range(0xC0, 0x250)) if (base := normalize("NFD", letter)[0]).isascii()},
        **dict.fromkeys(_BLANKS, " "),
        **dict.fromkeys(_DASHES, "-"),
        **dict.fromkeys(_TICKS, "'"),
        **{chr(0xFF10 + digit): str(digit) for digit in range(10)},
        "\u0141": "L",
        "\u0142": "l",
        "\u212a": "K",
    }
)


def plain(text: str) -> str:
    """The text without accents, with plain blanks, dashes, apostrophes and digits; never longer or shorter."""
    return text if text.isascii() and "\t" not in text else text.translate(_PLAIN)


def folded(text: str) -> str:
    """`plain`, in lower case, still of the same length."""
    text = plain(text)
    small = text.lower()
    return small if len(small) == len(text) else "".join(c if len(c.lower()) != 1 else c.lower() for c in text)


def any_of(phrases: Iterable[str]) -> str:
    """A pattern for any of some phrases, the longest first; parted by first letters, so that few are tried."""
    behind: dict[str, list[str]] = {}
    for phrase in sorted(phrases, key=len, reverse=True):
        behind.setdefault(phrase[:1], []).append(re.escape(phrase[1:]))
    return "|".join(f"{re.escape(first)}(?:{'|'.join(rest)})" for first, rest in behind.items())
