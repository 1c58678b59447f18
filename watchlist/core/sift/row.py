"""What a sift and the orders of a list look at in a lot."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal
from typing import Protocol

from watchlist.core.coins.issue import bare_words
from watchlist.core.marks.record import SIGNS


class Row(Protocol):
    """What a sift looks at in a lot. Properties, so that frozen records fit."""

    @property
    def title(self) -> str: ...  # noqa: D102
    @property
    def venue(self) -> str: ...  # noqa: D102
    @property
    def seller(self) -> str: ...  # noqa: D102
    @property
    def issue(self) -> str | None: ...  # noqa: D102
    @property
    def wants(self) -> tuple[str, ...]: ...  # noqa: D102
    @property
    def mark(self) -> str: ...  # noqa: D102
    @property
    def state(self) -> str: ...  # noqa: D102
    @property
    def all_in(self) -> Decimal | None: ...  # noqa: D102
    @property
    def gap(self) -> Decimal | None: ...  # noqa: D102
    @property
    def closes(self) -> datetime | None: ...  # noqa: D102
    @property
    def first_seen(self) -> datetime | None: ...  # noqa: D102


@dataclass(frozen=True, slots=True)
class SiftRow:
    """A row as a plain record."""

    title: str = ""
    venue: str = ""
    seller: str = ""
    issue: str | None = None
    wants: tuple[str, ...] = ()
    mark: str = "in range"
    state: str = "new"
    all_in: Decimal | None = None
    """Home currency."""
    gap: Decimal | None = None
    """A share: -0.18 is 18 per cent under."""
    closes: datetime | None = None
    first_seen: datetime | None = None


def _closing(row: Row) -> tuple[bool, float]:
    """Closing soonest first; pieces without a closing time after them, the newest first."""
    if row.closes is not None:
        return False, row.closes.timestamp()
    return True, -(row.first_seen.timestamp() if row.first_seen else 0.0)


def _known_first(value: Decimal | None) -> tuple[bool, Decimal]:
    return value is None, value if value is not None else Decimal(0)


ORDERS: dict[str, Callable[[Row], tuple[object, ...]]] = {
    "closes": _closing,
    "mark": lambda row: ([*SIGNS].index(row.mark) if row.mark in SIGNS else len(SIGNS), *_closing(row)),
    "title": lambda row: (bare_words(row.title),),
    "all-in": lambda row: _known_first(row.all_in),
    "gap": lambda row: _known_first(row.gap),
}
"""Sort keys by column; the first is the order at the start."""
