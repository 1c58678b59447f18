"""When the last two gathers began: what came with the last one is new."""

from __future__ import annotations

from datetime import datetime

from watchlist.shelf.store import Store

LAST_GATHER, GATHER_BEFORE = "last_gather", "gather_before"
"""Names of the facts."""


def gather_begins(store: Store, now: datetime) -> None:
    """The last gather becomes the one before."""
    store.put_fact(GATHER_BEFORE, store.fact(LAST_GATHER))
    store.put_fact(LAST_GATHER, now.isoformat())


def last_gather(store: Store) -> datetime | None:
    """When the last gather began; None before the first one."""
    return _time(store.fact(LAST_GATHER))


def gather_before(store: Store) -> datetime | None:
    """When the gather before the last one began."""
    return _time(store.fact(GATHER_BEFORE))


def _time(text: str | None) -> datetime | None:
    return datetime.fromisoformat(text) if text else None
