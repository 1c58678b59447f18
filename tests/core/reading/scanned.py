"""Scanned titles for the tests of one part of the reader, without the reader."""

from __future__ import annotations

from watchlist.core.reading.scanning.scan import Scan
from watchlist.core.reading.vocabulary.vocabulary import Vocabulary
from watchlist.words import load

VOCABULARY = Vocabulary(load(), ["QCG", "HNS"])


def scan(title: str) -> Scan:
    """A title cut into tokens, with the marks of the word lists; nothing is taken yet."""
    return Scan(title, VOCABULARY.lex)


def free_words(scanned: Scan) -> list[str]:
    """The tokens that no field has taken."""
    return [token.text for at, token in enumerate(scanned.them) if not scanned.used[at]]
