"""What each source has shown, and small facts by name."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from typing import Any

from watchlist.shelf.store.connection import Connection


class FeedTable:
    """Part of the store: the state of the sources, entries seen, and facts such as the time of the last morning."""

    db: Connection

    def feed_state(self, source: str) -> dict[str, Any]:
        """What was noted about a source (etag, last_ok, trouble, ...); empty when nothing was."""
        row = self.db.row("SELECT data FROM feeds WHERE source = ?", (source,))
        return self.db.json(row[0]) if row else {}

    def put_feed_state(self, source: str, state: Mapping[str, Any]) -> None:
        """Note the state of a source in place of the old one."""
        with self.db.writing():
            self.db.run("INSERT OR REPLACE INTO feeds VALUES (?, ?)", (source, json.dumps(dict(state))))

    def seen(self, source: str) -> set[str]:
        """The hashes of all entries that this source has shown."""
        return {hash for (hash,) in self.db.rows("SELECT hash FROM seen WHERE source = ?", (source,))}

    def remember(self, source: str, hashes: Iterable[str], *, only: bool = False) -> None:
        """Note entries as seen. Only: forget those that are not among them, so that the list does not grow for ever."""
        with self.db.writing():
            if only:
                self.db.run("DELETE FROM seen WHERE source = ?", (source,))
            self.db.many("INSERT OR IGNORE INTO seen VALUES (?, ?)", ((source, hash) for hash in hashes))

    def forget_source(self, source: str) -> None:
        """Forget what a dropped source has shown."""
        with self.db.writing():
            self.db.run("DELETE FROM feeds WHERE source = ?", (source,))
            self.db.run("DELETE FROM seen WHERE source = ?", (source,))

    def fact(self, name: str) -> Any:
        """A small fact kept by name (`last_morning`), or None."""
        row = self.db.row("SELECT value FROM meta WHERE name = ?", (name,))
        return self.db.json(row[0]) if row else None

    def put_fact(self, name: str, value: Any) -> None:
        """Keep a small fact; anything that JSON can hold."""
        with self.db.writing():
            self.db.run("INSERT OR REPLACE INTO meta VALUES (?, ?)", (name, json.dumps(value)))
