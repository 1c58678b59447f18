"""Decisions, a list that only grows; purchases, bench checks and outcomes. All of it durable."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Any

from watchlist.core.decisions.review import Decision, Ledger, Review
from watchlist.core.lots.record import Lot
from watchlist.core.marks.record import Judgement
from watchlist.core.money.amount import Money
from watchlist.shelf.records import dumps, loads
from watchlist.shelf.store.connection import Connection
from watchlist.shelf.store.filters import epoch
from watchlist.shelf.store.rows import instant


@dataclass(frozen=True, slots=True)
class Purchase:
    """A piece that was won or bought."""

    lot: str
    issue: str
    paid: Money
    """All-in, home currency."""
    at: datetime
    grade_low: int | None = None
    grade_high: int | None = None
    want: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True)
class Snapshot:
    """A lot as it was when a decision was made."""

    lot: Lot | None
    judgement: Judgement | None


@dataclass(frozen=True, slots=True)
class Finding:
    """A bench check or an outcome, with its figures by name."""

    id: int
    kind: str
    """`bench` or `outcome`, or another word of the desk's."""
    lot: str
    at: datetime
    data: Mapping[str, Any]


_ADD = """INSERT INTO decisions(lot, data, lot_then, judgement_then) VALUES (?1, ?2,
    (SELECT t.lot FROM texts t JOIN lots l USING (id) WHERE l.key = ?1),
    (SELECT judgement FROM texts JOIN lots USING (id) WHERE key = ?1))"""


class DecisionTable:
    """Part of the store: what the person decided, bought and found."""

    db: Connection
    ledger: Ledger
    """All decisions as far as they were read. Two stores of one file may share it, one after the other."""

    def add_decisions(self, decisions: Iterable[Decision]) -> list[Decision]:
        """Add decisions, each with a snapshot of its lot, and give them their numbers. On the disk when it returns."""
        with self.db.writing(durable=True):
            return [
                replace(decision, seq=self.db.run(_ADD, (decision.lot, dumps(replace(decision, seq=0)))))
                for decision in decisions
            ]

    def decisions(self, lot: str | None = None, *, after: int = 0) -> list[Decision]:
        """All decisions in order, those of one lot, or those behind a number."""
        if lot is None and not after:
            return list(self._read_on().told)
        return self._decisions(lot, after)

    def review(self) -> Review:
        """Where every lot stands by all decisions."""
        return self._read_on().review()

    def batches(self) -> Review:
        """Which batches of decisions are in force and which are turned back; no lots."""
        return self._read_on().batches()

    def batch(self, name: str) -> list[Decision]:
        """The decisions of one stroke."""
        return self._read_on().batch(name)

    def _read_on(self) -> Ledger:
        """The list only grows: what was read before is not read again, unless its last line is another one now."""
        told = self.ledger.told
        last = told[-1] if told else None
        found = self._decisions(None, last.seq - 1 if last else 0)
        if last is not None and found[:1] != [last]:  # a transaction was rolled back, or the file is another one
            self.ledger.clear()
            last, found = None, self._decisions(None, 0)
        self.ledger.add(found[1:] if last else found)
        return self.ledger

    def _decisions(self, lot: str | None, after: int) -> list[Decision]:
        where = "lot = ?1 AND seq > ?2" if lot is not None else "?1 IS NULL AND seq > ?2"
        rows = self.db.rows(f"SELECT seq, data FROM decisions WHERE {where} ORDER BY seq", (lot, after))
        return [replace(loads(Decision, data), seq=seq) for seq, data in rows]

    def snapshot(self, seq: int) -> Snapshot:
        """The lot as it was at this decision; empty for undo, redo, and lots never kept."""
        row = self.db.row("SELECT lot_then, judgement_then FROM decisions WHERE seq = ?", (seq,))
        lot, judgement = row or (None, None)
        return Snapshot(loads(Lot, lot) if lot else None, loads(Judgement, judgement) if judgement else None)

    def put_purchase(self, purchase: Purchase) -> None:
        """Keep a purchase, in the place of an earlier one of the same lot."""
        with self.db.writing(durable=True):
            self.db.run(
                "INSERT INTO purchases(lot, data) VALUES (?, ?) ON CONFLICT(lot) DO UPDATE SET data = excluded.data",
                (purchase.lot, dumps(purchase)),
            )

    def drop_purchase(self, lot: str) -> bool:
        """Take a purchase out; False when there was none."""
        with self.db.writing(durable=True):
            return self.db.many("DELETE FROM purchases WHERE lot = ?", [(lot,)]) > 0

    def purchases(self) -> list[Purchase]:
        """All purchases in the order in which they were made."""
        return [loads(Purchase, data) for (data,) in self.db.rows("SELECT data FROM purchases ORDER BY id")]

    def add_finding(self, kind: str, lot: str, at: datetime, data: Mapping[str, Any]) -> int:
        """Keep a bench check or an outcome; its number."""
        with self.db.writing(durable=True):
            return self.db.run(
                "INSERT INTO findings(kind, lot, at, data) VALUES (?, ?, ?, ?)",
                (kind, lot, epoch(at), json.dumps(dict(data))),
            )

    def findings(self, kind: str, lot: str | None = None) -> list[Finding]:
        """Findings of one kind, of all lots or one, oldest first."""
        sql = "SELECT id, kind, lot, at, data FROM findings WHERE kind = ?1 AND (?2 IS NULL OR lot = ?2) ORDER BY id"
        return [
            Finding(id, word, key, moment, self.db.json(data))
            for id, word, key, at, data in self.db.rows(sql, (kind, lot))
            if (moment := instant(at))
        ]
