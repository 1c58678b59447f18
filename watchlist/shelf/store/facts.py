"""Small facts by name."""

from __future__ import annotations

import json
from typing import Any

from watchlist.shelf.store.connection import Connection


class Facts:
    """Facts such as the time of the last morning; anything that JSON can hold."""

    def __init__(self, db: Connection) -> None:
        self._db = db

    def get(self, name: str) -> Any:
        """The fact kept by this name (`last_morning`), or None."""
        row = self._db.row("SELECT value FROM meta WHERE name = ?", (name,))
        return self._db.json(row[0]) if row else None

    def put(self, name: str, value: Any) -> None:
        """Keep a fact in place of the old one."""
        with self._db.writing():
            self._db.run("INSERT OR REPLACE INTO meta VALUES (?, ?)", (name, json.dumps(value)))
