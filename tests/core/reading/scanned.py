"""Scanned titles for the tests of one part of the reader, without the reader."""

from __future__ import annotations

from watchlist.core.reading.reader import Reader
from watchlist.core.reading.scanning.scan import Mark, Scan
from watchlist.words import load

LEX = Reader(load(), ["QCG", "HNS"]).lex


def scan(title: str) -> Scan:
    """A title cut into tokens, with the marks of the word lists; nothing is taken yet."""
    return Scan(title, LEX)


def free_words(scanned: Scan) -> list[str]:
    """The tokens that no field has taken."""
    return [token.text for at, token in enumerate(scanned.them) if not scanned.used[at]]


def mark(scanned: Scan, kind: str) -> Mark:
    """The first mark of a kind."""
    return scanned.by[kind][0]
