"""Phrases looked up over tokens, the longest first."""

from __future__ import annotations

from collections.abc import Callable, Container, Sequence
from typing import Generic, TypeVar

from watchlist.core.reading.vocabulary.tokens import SOFT, WORD, Token

P = TypeVar("P")
ABBREVIATION = 4
"""Longest word whose full stop is an abbreviation's and not a sentence's."""


class Node(Generic[P]):
    """One step of a phrase."""

    __slots__ = ("found", "next")

    def __init__(self) -> None:
        self.next: dict[str, Node[P]] = {}
        self.found: list[P] = []


class Phrases(Generic[P]):
    """A tree of phrases, each with the meanings it has."""

    def __init__(self) -> None:
        self.root: dict[str, Node[P]] = {}

    def put(self, words: Sequence[str], meaning: P) -> None:
        """Add a meaning to a phrase."""
        here = self.root
        for word in words[:-1]:
            here = here.setdefault(word, Node()).next
        found = here.setdefault(words[-1], Node()).found
        if meaning not in found:
            found.append(meaning)

    def drop(self, words: Sequence[str], keep: Callable[[P], bool] = lambda meaning: False) -> None:
        """Take the meanings of a phrase away, save those to keep; longer phrases that start with it stay."""
        here, node = self.root, None
        for word in words:
            node = here.get(word)
            if node is None:
                return
            here = node.next
        if node is not None:
            node.found[:] = [meaning for meaning in node.found if keep(meaning)]

    def longest(self, them: Sequence[Token], at: int) -> tuple[int, list[P]] | None:
        """The longest phrase that starts at a token: the place after it, and its meanings."""
        node = self.root.get(them[at].low)
        if node is None:
            return None
        here, count = at + 1, len(them)
        best = (here, node.found) if node.found else None
        while node.next and here < count:
            word = them[here].low
            if word in SOFT and word not in node.next:
                here = _past_soft(them, here, node.next)
                word = them[here].low if here < count else ""
            following = node.next.get(word)
            if following is None:
                break
            node, here = following, here + 1
            if node.found:
                best = (here, node.found)
        return best


def _past_soft(them: Sequence[Token], at: int, follows: Container[str]) -> int:
    """The place of the next word of a phrase, past at most two signs that may stand between; a full stop may only
    behind an abbreviation."""
    for here in (at, at + 1):
        word = them[here].low if here < len(them) else ""
        if word not in SOFT or word in follows:
            return here
        if word == "." and (them[here - 1].kind != WORD or len(them[here - 1].low) > ABBREVIATION):
            return here
    return at + 2
