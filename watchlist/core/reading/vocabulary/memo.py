"""Answers kept: sellers use the same odd words again and again."""

from __future__ import annotations

from collections.abc import Callable, Hashable
from typing import TypeVar

Question = TypeVar("Question", bound=Hashable)
Answer = TypeVar("Answer")

MOST = 20_000
"""Answers kept; then it starts afresh, for a stranger's feed may hold any number of words."""


class Memo(dict[Question, Answer]):
    """A slow question, asked once of each thing: `memo[word]`."""

    def __init__(self, ask: Callable[[Question], Answer]) -> None:
        super().__init__()
        self._ask = ask

    def __missing__(self, about: Question) -> Answer:
        if len(self) >= MOST:
            self.clear()
        found = self[about] = self._ask(about)
        return found
