"""Many thousand lots into a store at once, for benches: indexes and full text are built when all are there."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

from watchlist.shelf.store import Store
from watchlist.shelf.store.schema import INDEXES, WORD_TRIGGERS


@contextmanager
def filling(store: Store) -> Iterator[None]:
    """One transaction; ten times quicker than with indexes kept up lot by lot."""
    with store.together():
        for name in INDEXES:
            store.db.run(f"DROP INDEX {name}")
        for name in WORD_TRIGGERS:
            store.db.run(f"DROP TRIGGER {name}")
        yield
        for name, what in INDEXES.items():
            store.db.run(f"CREATE INDEX {name} ON {what}")
        for name, what in WORD_TRIGGERS.items():
            store.db.run(f"CREATE TRIGGER {name} {what}")
        store.db.run("INSERT INTO words(words) VALUES ('rebuild')")
