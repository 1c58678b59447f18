"""What a person or the desk found out about a lot: a bench check, a sign set aside, a lot listed again.

Durable, but for what the desk notes of lots that just came."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Any

from watchlist.shelf.store.connection import Connection
from watchlist.shelf.store.filters import epoch

_ADD = "INSERT INTO findings(kind, lot, at, data) VALUES (?, ?, ?, ?)"


@dataclass(frozen=True, slots=True)
class Finding:
    """Something found out about a lot, with its figures by name."""

    id: int
    kind: str
    """A word of the desk's, such as `bench`."""
    lot: str
    at: datetime
    data: Mapping[str, Any]


class Findings:
    """Findings of all kinds; the list only grows."""

    def __init__(self, db: Connection) -> None:
        self._db = db

    def add(self, kind: str, lot: str, at: datetime, data: Mapping[str, Any]) -> int:
        """Keep a finding; its number."""
        with self._db.writing(durable=True):
            return self._db.run(_ADD, (kind, lot, epoch(at), json.dumps(dict(data))))

    def note(self, kind: str, at: datetime, found: Mapping[str, Mapping[str, Any]]) -> None:
        """Keep what the desk finds of lots as they come, by their keys; lost with the power as they are, it comes again
        with them."""
        with self._db.writing():
            self._db.many(_ADD, ((kind, lot, epoch(at), json.dumps(dict(data))) for lot, data in found.items()))

    def lots(self, kind: str, keys: Sequence[str]) -> set[str]:
        """Those of a few lots that have a finding of this kind."""
        sql = f"SELECT lot FROM findings WHERE kind = ? AND lot IN ({','.join('?' * len(keys))})"
        return {lot for (lot,) in self._db.rows(sql, (kind, *keys))}

    def newest(self) -> int:
        """The highest number of a finding that was ever given; 0 without one."""
        return self._db.number("SELECT coalesce(max(id), 0) FROM findings")

    def of(self, kind: str) -> list[Finding]:
        """Findings of one kind, of all lots, oldest first."""
        sql = "SELECT id, kind, lot, at, data FROM findings WHERE kind = ? ORDER BY id"
        return [
            Finding(id, word, key, datetime.fromtimestamp(at, UTC), self._db.json(data))
            for id, word, key, at, data in self._db.rows(sql, (kind,))
        ]
