"""A sift put to the store: what the store looks up of it, and the test that each line has to pass besides."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from decimal import Decimal

from watchlist.core.sift import line as sift
from watchlist.core.sift.line import Sift, SiftRow
from watchlist.shelf.store import Store
from watchlist.shelf.store.filters import Filter
from watchlist.shelf.store.rows import LotLine

MOST_NAMES = 5_000
"""Venues or sellers that the store is asked for by name in one go."""
MANY_SELLERS = 20_000
"""With more sellers than this each lot is asked for its own."""


def narrowed(asked: Sift, now: datetime, store: Store) -> tuple[Filter, bool]:
    """What the store can look up of a sift: no lot that passes is left out. True: others come along."""
    bounds = asked.to_filter(now)
    sellers = _named(asked.sellers, store, "seller") if asked.sellers else None
    found = Filter(
        marks=bounds.marks,
        states=bounds.states,
        all_in_min=bounds.all_in_min,
        all_in_max=bounds.all_in_max,
        gap_min=bounds.gap_min,
        gap_max=bounds.gap_max,
        closes_after=bounds.closes_after,
        closes_before=bounds.closes_before,
        holds=asked.words,
        lacks=asked.not_words,
        sellers=sellers,
        venues=_named(asked.venues, store, "venue") if asked.venues else None,
        issue=bounds.issues[0] if len(bounds.issues) == 1 else "",
        want=bounds.wants[0] if len(bounds.wants) == 1 else "",
    )
    rest = bool(
        asked.words
        or asked.not_words
        or len(asked.wants) > 1
        or len(asked.issues) > 1
        or (asked.sellers and sellers is None)
    )
    return found, rest


def _named(asked: Sequence[str], store: Store, column: str) -> tuple[str, ...] | None:
    """The venues or sellers that are meant; None where there are too many to tell."""
    names = store.listing.names(column, MANY_SELLERS)
    found = tuple(name for name in names if any(sift.holds(word, name) for word in asked))
    return None if len(names) == MANY_SELLERS or len(found) > MOST_NAMES else found


def passes(line: LotLine, asked: Sift, now: datetime, store: Store) -> bool:
    """Whether a line meets the sift."""
    wants = asked.wants if len(asked.wants) == 1 else _wants(line, asked, store)
    row = SiftRow(
        title=line.title,
        venue=line.venue,
        seller=line.seller,
        issue=line.issue or None,
        wants=wants,
        mark=line.mark or "unclear",
        state=line.state,
        closes=line.closes,
        first_seen=line.first_seen,
        all_in=None if line.all_in is None else Decimal(str(line.all_in)),
        gap=None if line.gap is None else Decimal(str(line.gap)),
    )
    return asked.test(row, now)


def _wants(line: LotLine, asked: Sift, store: Store) -> tuple[str, ...]:
    row = store.lots.get(line.key) if asked.wants else None
    return row.judgement.wants if row and row.judgement else ()
