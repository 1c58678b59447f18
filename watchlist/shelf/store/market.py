"""The fitted market: one header and one row for each issue, put as a whole."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from typing import Any

from watchlist.shelf.store.connection import Connection


class Market:
    """The market state."""

    def __init__(self, db: Connection) -> None:
        self._db = db

    def put(self, header: Mapping[str, Any], rows: Iterable[tuple[str, Mapping[str, Any]]]) -> None:
        """Put a newly fitted market in the place of the old one, in one transaction."""
        with self._db.writing():
            self._db.run("DELETE FROM market")
            self._db.many("INSERT INTO market VALUES (?, ?)", ((key, json.dumps(dict(row))) for key, row in rows))
            self._db.run("INSERT OR REPLACE INTO meta VALUES ('market', ?)", (json.dumps(dict(header)),))

    def put_row(self, key: str, row: Mapping[str, Any]) -> None:
        """One issue's row after one more price."""
        with self._db.writing():
            self._db.run("INSERT OR REPLACE INTO market VALUES (?, ?)", (key, json.dumps(dict(row))))

    def header(self) -> dict[str, Any] | None:
        """What holds for the whole market; None before the first fit."""
        row = self._db.row("SELECT value FROM meta WHERE name = 'market'")
        return self._db.json(row[0]) if row else None

    def row(self, key: str) -> dict[str, Any] | None:
        """One issue's row, or None."""
        row = self._db.row("SELECT data FROM market WHERE key = ?", (key,))
        return self._db.json(row[0]) if row else None
