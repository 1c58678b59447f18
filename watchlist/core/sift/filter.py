"""The one filter of lots: what a sift means at a moment, what a store looks up, and the test of a single lot."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal
from typing import Protocol

from watchlist.core.coins.issue import bare_words


class Row(Protocol):
    """What a filter looks at in a lot. Properties, so that frozen records fit."""

    @property
    def title(self) -> str: ...  # noqa: D102
    @property
    def venue(self) -> str: ...  # noqa: D102
    @property
    def seller(self) -> str: ...  # noqa: D102
    @property
    def source(self) -> str: ...  # noqa: D102
    @property
    def issue(self) -> str: ...  # noqa: D102
    @property
    def mark(self) -> str | None: ...  # noqa: D102
    @property
    def state(self) -> str: ...  # noqa: D102
    @property
    def kind(self) -> str | None: ...  # noqa: D102
    @property
    def all_in(self) -> float | None: ...  # noqa: D102
    @property
    def gap(self) -> float | None: ...  # noqa: D102
    @property
    def closes(self) -> datetime | None: ...  # noqa: D102


OVER = ("won", "lost", "ended")
"""States of lots that can be had no more."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Filter:
    """Conditions that a lot must all meet; an empty one asks nothing. Of several values of one field one is enough."""

    words: tuple[str, ...] = ()
    """Each begins a word of the title, accents and case aside."""
    not_words: tuple[str, ...] = ()
    """Words that the title must not hold."""
    marks: frozenset[str] = frozenset()
    states: frozenset[str] = frozenset()
    venues: tuple[str, ...] = ()
    """Beginnings of a word of the venue's name; likewise the sellers."""
    sellers: tuple[str, ...] = ()
    wants: tuple[str, ...] = ()
    """Ids of wants that the lot answers."""
    issues: tuple[str, ...] = ()
    sources: tuple[str, ...] = ()
    """Names of sources, dropped ones too."""
    keys: frozenset[str] | None = None
    """Only these lots, such as those of a parcel; None asks nothing."""
    wanted: bool = False
    """Only lots that answer some want."""
    changed_by: datetime | None = None
    """Only lots of concern that are at this time something else than at the last gather; only a store can tell."""
    all_in_min: Decimal | None = None
    all_in_max: Decimal | None = None
    gap_min: Decimal | None = None
    gap_max: Decimal | None = None
    """-0.10 is ten per cent under the band's middle. Bounds leave out lots of which nothing is known."""
    closes_after: datetime | None = None
    """From this time on, and before the other; both leave out lots without a closing time."""
    closes_before: datetime | None = None
    open_at: datetime | None = None
    """Only lots that can still be had at this time."""
    over_at: datetime | None = None
    """Only lots that can be had no more at this time."""

    def test(self, row: Row, wants: Collection[str] | None = None) -> bool:
        """Whether a lot passes; `wants` are those that it answers, None where that was looked up already."""
        return (
            _among(self.marks, row.mark)
            and _among(self.states, row.state)
            and _among(self.issues, row.issue)
            and _among(self.sources, row.source)
            and (wants is None or self._answers(wants))
            and _within(row.all_in, self.all_in_min, self.all_in_max)
            and _within(row.gap, self.gap_min, self.gap_max)
            and self._in_time(row)
            and _named(self.venues, row.venue)
            and _named(self.sellers, row.seller)
            and all(holds(word, row.title) for word in self.words)
            and not any(holds(word, row.title) for word in self.not_words)
        )

    def _answers(self, wants: Collection[str]) -> bool:
        return (bool(wants) or not self.wanted) and (not self.wants or not set(self.wants).isdisjoint(wants))

    def _in_time(self, row: Row) -> bool:
        if (self.open_at and _is_over(row, self.open_at)) or (self.over_at and not _is_over(row, self.over_at)):
            return False
        if not self.closes_after and not self.closes_before:
            return True
        after = row.closes is not None and (not self.closes_after or row.closes >= self.closes_after)
        return after and (not self.closes_before or row.closes is None or row.closes < self.closes_before)


def _is_over(row: Row, now: datetime) -> bool:
    return row.kind == "ended" or row.state in OVER or (row.closes is not None and row.closes < now)


def holds(word: str, text: str) -> bool:
    """The word begins a word of the text, without regard to case and accents; several words stand in a row."""
    wanted = bare_words(word)
    return f" {wanted}" in f" {bare_words(text)}" if wanted else word in text


def _among(allowed: Collection[str], value: str | None) -> bool:
    return not allowed or value in allowed


def _named(words: Collection[str], name: str) -> bool:
    return not words or any(holds(word, name) for word in words)


def _within(value: float | None, low: Decimal | None, high: Decimal | None) -> bool:
    """Compared as the store compares them."""
    if value is None:
        return low is None and high is None
    return (low is None or value >= float(low)) and (high is None or value <= float(high))
