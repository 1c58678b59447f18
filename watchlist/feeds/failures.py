"""Why there is nothing to read.

Failure           its trouble says what happened, to whom, with which figures; `page/troubles.py` makes the sentence
├── FetchError    a body could not be had
└── Unlistable    a body is none of the kinds that are read
"""

from __future__ import annotations

from watchlist.core.lots.trouble import Trouble, TroubleKind


class Failure(Exception):
    """Nothing to read, with the reason."""

    def __init__(self, kind: TroubleKind, who: str = "", **facts: object) -> None:
        super().__init__(kind, who, facts)
        self.trouble = Trouble(kind, who, facts)


class FetchError(Failure):
    """A body could not be had."""


class Unlistable(Failure):
    """A body is none of the kinds that are read."""
