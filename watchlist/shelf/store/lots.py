"""The lots: kept in bulk, found by key, read by pages in an order, counted by mark."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from datetime import datetime
from decimal import Decimal
from itertools import islice

from watchlist.core.decisions.review import State
from watchlist.core.lots.record import Lot
from watchlist.core.marks.record import Judgement, Mark
from watchlist.core.money.amount import Money
from watchlist.shelf.records import dumps
from watchlist.shelf.store import schema
from watchlist.shelf.store.connection import Connection
from watchlist.shelf.store.filters import MARKS, UNDATED, Filter, Order, Place, epoch
from watchlist.shelf.store.road import Road, lines_of
from watchlist.shelf.store.rows import (
    JUDGED_COLUMNS,
    LINE,
    LOT_COLUMNS,
    LotLine,
    LotRow,
    instant,
    judged_values,
    lot_row,
    lot_values,
    texts,
)
from watchlist.shelf.store.search import Search

ALL = Filter()
_BATCH = 2_000
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


class LotTable:
    """Part of the store: lots."""

    db: Connection

    def save_lots(self, rows: Iterable[LotRow]) -> int:
        """Keep lots, new or seen again; how many. A lot seen again keeps its state and its first sight."""
        count, rest = 0, iter(rows)
        with self.db.writing():
            while batch := list(islice(rest, _BATCH)):
                self._save(batch)
                count += len(batch)
        return count

    def _save(self, batch: Sequence[LotRow]) -> None:
        self.db.many(_SAVE, ((*lot_values(row), *judged_values(row.judgement), row.state) for row in batch))
        self.db.many(_AGAIN, ((_last_seen(row.lot), row.lot.key) for row in batch))
        self.db.many(_TEXT, ((*texts(row), row.lot.key) for row in batch))
        self._answer((row.lot.key, row.judgement) for row in batch)

    def _answer(self, judged: Iterable[tuple[str, Judgement | None]]) -> None:
        pairs = list(judged)
        if self.db.rows("SELECT 1 FROM lot_wants LIMIT 1"):
            self.db.many(_UNWANT, ((key,) for key, _ in pairs))
        self.db.many(_WANT, ((want, key) for key, judgement in pairs if judgement for want in judgement.wants))

    def update_judgements(self, judged: Iterable[tuple[str, Judgement]]) -> None:
        """Put new judgements in the place of the old ones, in one transaction."""
        pairs = list(judged)
        with self.db.writing():
            self.db.many(_JUDGE, ((*judged_values(judgement), key) for key, judgement in pairs))
            self.db.many(
                "UPDATE texts SET judgement = ?1 "
                "WHERE id = (SELECT id FROM lots WHERE key = ?2) AND judgement IS NOT ?1",
                ((dumps(judgement), key) for key, judgement in pairs),
            )
            self._answer(pairs)

    def set_states(self, states: Iterable[tuple[str, State]]) -> None:
        """Set what the person's decisions make of the lots; on the disk when it returns."""
        with self.db.writing(durable=True):
            self.db.many("UPDATE lots SET state = ? WHERE key = ?", ((state, key) for key, state in states))

    @contextmanager
    def bulk(self) -> Iterator[None]:
        """For many thousand lots or prices: indexes and full text are built once, at the end of the block."""
        with self.db.writing(durable=True):
            schema.drop_indexes(self.db)
            yield
            schema.build_indexes(self.db)

    # --- one or a few ---

    def lot(self, key: str) -> LotRow | None:
        """The lot with just this key."""
        row = self.db.row(f"{_WHOLE} WHERE l.key = ?", (key,))
        return lot_row(row) if row else None

    def lots_by_key(self, keys: Iterable[str]) -> dict[str, LotRow]:
        """The lots with these keys; those not kept are missing."""
        found = ((key, self.lot(key)) for key in keys)
        return {key: row for key, row in found if row}

    def find_lot(self, end: str, limit: int = 10) -> list[str]:
        """Keys that are, or else end with, these letters: one when it is clear which lot is meant."""
        for sql in ("key = ?", "own_id = ?", "substr(key, -length(?1)) = ?1"):
            if end and (keys := self.db.rows(f"SELECT key FROM lots WHERE {sql} LIMIT ?2", (end, limit))):
                return [key for (key,) in keys]
        return []

    def price_history(self, key: str) -> list[tuple[datetime, Money | None]]:
        """The lot's own prices, oldest first, with the time each was first seen."""
        moved = self.db.rows(
            "SELECT at, p.price, p.currency FROM lot_prices p JOIN lots l ON l.id = p.lot WHERE key = ? ORDER BY at",
            (key,),
        )
        rows = moved or self.db.rows("SELECT first_seen, price, currency FROM lots WHERE key = ?", (key,))
        return [(moment, _money(price, code)) for at, price, code in rows if (moment := instant(at))]

    # --- many ---

    def open_lots(self, now: datetime) -> Iterator[LotRow]:
        """Every lot that can still be had, closing soonest first."""
        sql = f"{_WHOLE} WHERE due >= ? AND kind IS NOT 'ended' AND state NOT IN ('won', 'lost', 'ended') ORDER BY due"
        return map(lot_row, self.db.each(sql, (epoch(now),)))

    def lines(
        self,
        wanted: Filter = ALL,
        order: Order = "closing",
        *,
        down: bool = False,
        after: Place | None = None,
        limit: int = 64,
    ) -> list[LotLine]:
        """A page of lines behind the place `after`. Unknown gaps, costs and marks come last in both directions."""
        return lines_of(self.db, self._search(wanted).page(LINE, order, down, after, limit))

    def line(self, key: str) -> LotLine | None:
        """The line of the lot with just this key."""
        return next(iter(lines_of(self.db, self.db.rows(f"SELECT {LINE} FROM lots WHERE key = ?", (key,)))), None)

    def lots(
        self,
        wanted: Filter = ALL,
        order: Order = "closing",
        *,
        down: bool = False,
        after: Place | None = None,
        limit: int = 64,
    ) -> list[LotRow]:
        """The same page as whole records."""
        found = self._search(wanted).page("key", order, down, after, limit)
        return list(self.lots_by_key(key for (key,) in found).values())

    def each_line(self, wanted: Filter = ALL, order: Order = "closing", *, down: bool = False) -> Iterator[LotLine]:
        """All lines of a filter, page by page."""
        road, after, ended = self.road(wanted), None, False
        while not ended:
            found = road.go(order, down=down, after=after, limit=500)
            yield from found.lines
            after, ended = found.at, found.ended

    def count(self, wanted: Filter = ALL) -> int:
        """How many lots meet the filter."""
        return int(self._search(wanted).tally("count(*)")[0][0])

    def census(self, wanted: Filter = ALL) -> tuple[int, int, dict[Mark, int]]:
        """All lots of a filter, those of them that are new, and how many have each mark: in one pass."""
        marks = ", ".join(f"count(*) FILTER (WHERE mark = {number})" for number in range(len(MARKS)))
        ((all, new, *counted),) = self._search(wanted).tally(
            f"count(*), count(*) FILTER (WHERE state = 'new'), {marks}"
        )
        return all, new, {mark: number for mark, number in zip(MARKS, counted, strict=True) if number}

    def count_by(self, column: str, wanted: Filter = ALL) -> Mapping[str, int]:
        """How many lots each source, venue or state has."""
        if column not in ("source", "venue", "state"):
            raise ValueError(f"lots are not counted by {column}")
        return dict(self._search(wanted).tally(f"{column}, count(*)", f"GROUP BY {column}"))

    def names(self, column: str, limit: int = -1) -> list[str]:
        """The sources, venues or sellers that lots have, `limit` at most, found by leaps through the index."""
        if column not in ("source", "venue", "seller"):
            raise ValueError(f"lots have no list of {column}")
        return self._search(ALL).names(column, limit)

    def road(self, wanted: Filter) -> Road:
        """A way through the lots of a filter by goes, each of a bounded length however few lots pass."""
        return Road(self.db, self._search(wanted))

    def _search(self, wanted: Filter) -> Search:
        return Search(self.db, wanted)


def _last_seen(lot: Lot) -> int:
    moment = lot.last_seen or lot.first_seen
    return epoch(moment) if moment else 0


def _money(amount: str | None, currency: str) -> Money | None:
    return None if amount is None else Money(Decimal(amount), currency)
