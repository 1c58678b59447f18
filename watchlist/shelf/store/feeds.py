"""What each source has shown."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from typing import Any

from watchlist.shelf.store.connection import Connection

MAPPED = "mapped"
"""Stands in the state of a source whose entries were read in another way before: they are all to be read again."""
STAYS = ("last_ok", "lots", "kind", "columns", "unknown_columns")
"""What of the state goes on when a source is read in another way."""


class Feeds:
    """The state of the sources, and the entries they have shown."""

    def __init__(self, db: Connection) -> None:
        self._db = db

    def state(self, source: str) -> dict[str, Any]:
        """What was noted about a source (etag, last_ok, trouble, ...); empty when nothing was."""
        row = self._db.row("SELECT data FROM feeds WHERE source = ?", (source,))
        return self._db.json(row[0]) if row else {}

    def put_state(self, source: str, state: Mapping[str, Any]) -> None:
        """Note the state of a source in place of the old one."""
        with self._db.writing():
            self._db.run("INSERT OR REPLACE INTO feeds VALUES (?, ?)", (source, json.dumps(dict(state))))

    def seen(self, source: str) -> set[str]:
        """The hashes of all entries that this source has shown."""
        return {hash for (hash,) in self._db.rows("SELECT hash FROM seen WHERE source = ?", (source,))}

    def remember(self, source: str, hashes: Iterable[str], *, only: bool = False) -> None:
        """Note entries as seen. Only: forget those that are not among them, so that the list does not grow for ever."""
        with self._db.writing():
            if only:
                self._db.run("DELETE FROM seen WHERE source = ?", (source,))
            self._db.many("INSERT OR IGNORE INTO seen VALUES (?, ?)", ((source, hash) for hash in hashes))

    def read_anew(self, source: str) -> None:
        """Read all entries of a source again at the next gather, unchanged ones too: they are read in another way."""
        state = self.state(source)
        with self._db.writing():
            self.forget(source)
            if state:
                self.put_state(source, {name: state[name] for name in STAYS if name in state} | {MAPPED: True})

    def forget(self, source: str) -> None:
        """Forget what a dropped source has shown."""
        with self._db.writing():
            self._db.run("DELETE FROM feeds WHERE source = ?", (source,))
            self._db.run("DELETE FROM seen WHERE source = ?", (source,))
