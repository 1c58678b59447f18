"""When the last two gathers began: what came with the last one is new."""

from __future__ import annotations

from datetime import datetime

from watchlist.shelf.store import Store

LAST_GATHER, GATHER_BEFORE = "last_gather", "gather_before"
"""Names of the facts."""


def gather_begins(store: Store, now: datetime) -> None:
    """The last gather becomes the one before."""
    store.facts.put(GATHER_BEFORE, store.facts.get(LAST_GATHER))
    store.facts.put(LAST_GATHER, now.isoformat())


def last_gather(store: Store) -> datetime | None:
    """When the last gather began; None before the first one."""
    return _time(store.facts.get(LAST_GATHER))


def gather_before(store: Store) -> datetime | None:
    """When the gather before the last one began."""
    return _time(store.facts.get(GATHER_BEFORE))


def _time(text: str | None) -> datetime | None:
    return datetime.fromisoformat(text) if text else None
