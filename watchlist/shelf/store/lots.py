"""The lots: kept in bulk, found by key."""

from __future__ import annotations

from collections.abc import Container, Iterable, Iterator, Sequence
from datetime import datetime
from itertools import islice

from watchlist.core.decisions.review import State
from watchlist.core.lots.record import Lot
from watchlist.core.marks.record import Judgement
from watchlist.core.money.amount import Money
from watchlist.shelf.records import dumps
from watchlist.shelf.store.connection import Connection
from watchlist.shelf.store.filters import UNDATED, epoch
from watchlist.shelf.store.rows import (
    JUDGED_COLUMNS,
    LOT_COLUMNS,
    LotRow,
    instant,
    judged_values,
    lot_alone,
    lot_row,
    lot_values,
    money,
    texts,
)

_BATCH = 2_000
_ASKED = 500
"""SQLite takes only so many values in one query."""
_WHOLE = "SELECT t.lot, reading, judgement, state, fingerprint, first_seen FROM lots l JOIN texts t USING (id)"
_COLUMNS = (*LOT_COLUMNS, *JUDGED_COLUMNS)
_SEEN_AGAIN = tuple(name for name in _COLUMNS if name not in ("key", "first_seen", "due", "last_seen"))
"""What may change when a lot comes again: not its first sight, and not its state, which is the person's."""
_SAVE = (
    f"INSERT INTO lots({', '.join(_COLUMNS)}, state) VALUES ({', '.join('?' * len(_COLUMNS))}, ?) "
    f"ON CONFLICT(key) DO UPDATE SET {', '.join(f'{name} = excluded.{name}' for name in _SEEN_AGAIN)}, "
    f"last_seen = excluded.last_seen, due = coalesce(excluded.closes, {UNDATED} - first_seen) "
    f"WHERE ({', '.join(_SEEN_AGAIN)}) IS NOT ({', '.join(f'excluded.{name}' for name in _SEEN_AGAIN)})"
)
_AGAIN = "UPDATE lots SET last_seen = ? WHERE key = ? AND last_seen IS NOT ?1"
_TEXT = "INSERT OR REPLACE INTO texts SELECT id, ?, ?, ? FROM lots WHERE key = ?"
_WANT = "INSERT OR IGNORE INTO lot_wants SELECT ?, id FROM lots WHERE key = ?"
_UNWANT = "DELETE FROM lot_wants WHERE lot = (SELECT id FROM lots WHERE key = ?)"
_SLOTS = [f"?{number}" for number in range(1, len(JUDGED_COLUMNS) + 1)]
_JUDGE = (
    f"UPDATE lots SET {', '.join(f'{name} = {slot}' for name, slot in zip(JUDGED_COLUMNS, _SLOTS, strict=True))} "
    f"WHERE key = ?{len(_SLOTS) + 1} AND ({', '.join(JUDGED_COLUMNS)}) IS NOT ({', '.join(_SLOTS)})"
)
"""What is the same is left alone: each change costs an entry in every index."""


class Lots:
    """The lots by their keys: whole records."""

    def __init__(self, db: Connection) -> None:
        self._db = db

    def save(self, rows: Iterable[LotRow]) -> None:
        """Keep lots, new or seen again, in one transaction. One seen again keeps its state and its first sight."""
        rest = iter(rows)
        with self._db.writing():
            while batch := list(islice(rest, _BATCH)):
                self._save(batch)

    def _save(self, batch: Sequence[LotRow]) -> None:
        self._db.many(_SAVE, ((*lot_values(row), *judged_values(row.judgement), row.state) for row in batch))
        self._db.many(_AGAIN, ((_last_seen(row.lot), row.lot.key) for row in batch))
        self._db.many(_TEXT, ((*texts(row), row.lot.key) for row in batch))
        self._answer((row.lot.key, row.judgement) for row in batch)

    def _answer(self, judged: Iterable[tuple[str, Judgement | None]]) -> None:
        pairs = list(judged)
        if self._db.rows("SELECT 1 FROM lot_wants LIMIT 1"):
            self._db.many(_UNWANT, ((key,) for key, _ in pairs))
        self._db.many(_WANT, ((want, key) for key, judgement in pairs if judgement for want in judgement.wants))

    def judge(self, judged: Iterable[tuple[str, Judgement]]) -> None:
        """Put new judgements in the place of the old ones, in one transaction."""
        pairs = list(judged)
        with self._db.writing():
            self._db.many(_JUDGE, ((*judged_values(judgement), key) for key, judgement in pairs))
            self._db.many(
                "UPDATE texts SET judgement = ?1 "
                "WHERE id = (SELECT id FROM lots WHERE key = ?2) AND judgement IS NOT ?1",
                ((dumps(judgement), key) for key, judgement in pairs),
            )
            self._answer(pairs)

    def set_states(self, states: Iterable[tuple[str, State]]) -> None:
        """Set what the person's decisions make of the lots; on the disk when it returns."""
        with self._db.writing(durable=True):
            self._db.many("UPDATE lots SET state = ? WHERE key = ?", ((state, key) for key, state in states))

    def drop(self, keys: Sequence[str]) -> None:
        """Forget lots, with their readings and prices; what was decided of them stays."""
        with self._db.writing():
            for table, column in (("texts", "id"), ("lot_prices", "lot"), ("lot_wants", "lot")):
                sql = f"DELETE FROM {table} WHERE {column} = (SELECT id FROM lots WHERE key = ?)"
                self._db.many(sql, ((key,) for key in keys))
            self._db.many("DELETE FROM lots WHERE key = ?", ((key,) for key in keys))

    def get(self, key: str) -> LotRow | None:
        """The lot with just this key."""
        row = self._db.row(f"{_WHOLE} WHERE l.key = ?", (key,))
        return lot_row(row) if row else None

    def lot(self, key: str) -> Lot | None:
        """The lot alone, which takes a tenth of the time: not how it is read, nor what is thought of it."""
        row = self._db.row("SELECT t.lot, first_seen FROM lots l JOIN texts t USING (id) WHERE l.key = ?", (key,))
        return lot_alone(*row) if row else None

    def by_key(self, keys: Iterable[str]) -> dict[str, LotRow]:
        """The lots with these keys; those not kept are missing."""
        found = ((key, self.get(key)) for key in keys)
        return {key: row for key, row in found if row}

    def find(self, end: str, limit: int = 10) -> list[str]:
        """Keys that are, or else end with, these letters: one when it is clear which lot is meant."""
        for sql in ("key = ?", "own_id = ?", "substr(key, -length(?1)) = ?1"):
            if end and (keys := self._db.rows(f"SELECT key FROM lots WHERE {sql} LIMIT ?2", (end, limit))):
                return [key for (key,) in keys]
        return []

    def history(self, key: str) -> list[tuple[datetime, Money | None]]:
        """The lot's own prices, oldest first, with the time each was first seen."""
        moved = self._db.rows(
            "SELECT at, p.price, p.currency FROM lot_prices p JOIN lots l ON l.id = p.lot WHERE key = ? ORDER BY at",
            (key,),
        )
        rows = moved or self._db.rows("SELECT first_seen, price, currency FROM lots WHERE key = ?", (key,))
        return [(moment, money(price, code)) for at, price, code in rows if (moment := instant(at))]

    def known(self, keys: Sequence[str]) -> set[str]:
        """Those of the keys that are kept."""
        found: set[str] = set()
        for start in range(0, len(keys), _ASKED):
            some = keys[start : start + _ASKED]
            marks = ",".join("?" * len(some))
            found |= {key for (key,) in self._db.rows(f"SELECT key FROM lots WHERE key IN ({marks})", some)}
        return found

    def gone(self, source: str, present: Container[str]) -> dict[str, dict[str, str]]:
        """The source's lots that are not among those it lists now: key to own id, by fingerprint."""
        found: dict[str, dict[str, str]] = {}
        sql = "SELECT fingerprint, key, own_id FROM lots WHERE source = ? AND fingerprint <> ''"
        for fingerprint, key, own in self._db.rows(sql, (source,)):
            if own not in present:
                found.setdefault(fingerprint, {})[key] = own
        return found

    def seen_again(self, source: str, ids: Iterable[str], at: datetime) -> None:
        """The source lists these lots today, whether or not they changed."""
        moment = epoch(at)
        with self._db.writing():
            self._db.many(
                "UPDATE lots SET last_seen = ? WHERE key = ? AND last_seen < ?",
                ((moment, f"{source}:{id}", moment) for id in ids),
            )

    def open(self, now: datetime) -> Iterator[LotRow]:
        """Every lot that can still be had, closing soonest first."""
        sql = f"{_WHOLE} WHERE due >= ? AND kind IS NOT 'ended' AND state NOT IN ('won', 'lost', 'ended') ORDER BY due"
        return map(lot_row, self._db.each(sql, (epoch(now),)))

    def open_sellers(self, now: datetime) -> list[tuple[str, str, str]]:
        """Key, issue and seller of all lots that can still be had and name both."""
        sql = "SELECT key, issue, seller FROM lots WHERE due >= ? AND seller <> '' AND issue <> ''"
        return [(key, issue, seller) for key, issue, seller in self._db.rows(sql, (epoch(now),))]


def _last_seen(lot: Lot) -> int:
    moment = lot.last_seen or lot.first_seen
    return epoch(moment) if moment else 0
