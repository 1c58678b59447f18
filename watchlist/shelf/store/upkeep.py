"""Part of the store: small mending of what is kept."""

from __future__ import annotations

from collections.abc import Container, Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import datetime

from watchlist.core.prices.realised import PriceRealised
from watchlist.shelf.records import dumps, loads
from watchlist.shelf.store.connection import Connection
from watchlist.shelf.store.filters import epoch


class Upkeep:
    """Part of the store: small mending of what is kept."""

    db: Connection

    def prices_kept(self) -> int:
        """How many prices realised are kept."""
        return self.db.number("SELECT count(*) FROM prices")

    def known_keys(self, keys: Sequence[str]) -> set[str]:
        """Those of the keys that are kept."""
        found: set[str] = set()
        for some in _batches(keys):
            marks = ",".join("?" * len(some))
            found |= {key for (key,) in self.db.rows(f"SELECT key FROM lots WHERE key IN ({marks})", some)}
        return found

    def gone_keys(self, source: str, present: Container[str]) -> dict[str, dict[str, str]]:
        """The source's lots that are not among those it lists now: key to own id, by fingerprint."""
        found: dict[str, dict[str, str]] = {}
        sql = "SELECT fingerprint, key, own_id FROM lots WHERE source = ? AND fingerprint <> ''"
        for fingerprint, key, own in self.db.rows(sql, (source,)):
            if own not in present:
                found.setdefault(fingerprint, {})[key] = own
        return found

    def open_sellers(self, now: datetime) -> list[tuple[str, str, str]]:
        """Key, issue and seller of all lots that can still be had and name both."""
        sql = "SELECT key, issue, seller FROM lots WHERE due >= ? AND seller <> '' AND issue <> ''"
        return [(key, issue, seller) for key, issue, seller in self.db.rows(sql, (epoch(now),))]

    def seen_again(self, source: str, ids: Iterable[str], at: datetime) -> None:
        """The source lists these lots today, whether or not they changed."""
        moment = epoch(at)
        with self.db.writing():
            self.db.many(
                "UPDATE lots SET last_seen = ? WHERE key = ? AND last_seen < ?",
                ((moment, f"{source}:{id}", moment) for id in ids),
            )

    def move_prices(self, moves: Mapping[str, str]) -> int:
        """Put prices realised of one issue under another; how many. The old issue is forgotten."""
        count = 0
        with self.db.writing(durable=True):
            for old, new in moves.items():
                for number, data in self.db.rows("SELECT id, data FROM prices WHERE issue = ?", (old,)):
                    moved = replace(loads(PriceRealised, data), issue=new)
                    self.db.run("UPDATE prices SET issue = ?, data = ? WHERE id = ?", (new, dumps(moved), number))
                    count += 1
                self.db.run("DELETE FROM issues WHERE key = ?", (old,))
        return count


def _batches(values: Sequence[str], size: int = 500) -> Iterator[Sequence[str]]:
    """SQLite takes only so many values in one query."""
    return (values[start : start + size] for start in range(0, len(values), size))
