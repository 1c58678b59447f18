"""What the person decided: a list that only grows. Durable."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from watchlist.core.decisions.review import Decision, Ledger, Review, Verb
from watchlist.core.lots.record import Lot
from watchlist.core.marks.record import Judgement
from watchlist.shelf.records import dumps, loads
from watchlist.shelf.store.connection import Connection


@dataclass(frozen=True, slots=True)
class Snapshot:
    """A lot as it was when a decision was made."""

    lot: Lot | None
    judgement: Judgement | None


_ADD = """INSERT INTO decisions(lot, data, lot_then, judgement_then) VALUES (?1, ?2,
    (SELECT t.lot FROM texts t JOIN lots l USING (id) WHERE l.key = ?1),
    (SELECT judgement FROM texts JOIN lots USING (id) WHERE key = ?1))"""


class Decisions:
    """All decisions, each with its lot as it was then."""

    def __init__(self, db: Connection) -> None:
        self._db = db
        self.ledger = Ledger()
        """All decisions as far as they were read. Two stores of one file may share it, one after the other."""

    def add(self, decisions: Iterable[Decision]) -> list[Decision]:
        """Add decisions, each with a snapshot of its lot, and give them their numbers. On the disk when it returns."""
        with self._db.writing(durable=True):
            return [
                replace(decision, seq=self._db.run(_ADD, (decision.lot, dumps(replace(decision, seq=0)))))
                for decision in decisions
            ]

    def all(self) -> list[Decision]:
        """All decisions in order."""
        return list(self._read_on().told)

    def of(self, lot: str) -> list[Decision]:
        """The decisions of one lot, in order."""
        return self._read("lot = ?", lot)

    def review(self) -> Review:
        """Where every lot stands by all decisions."""
        return self._read_on().review()

    def batches(self) -> Review:
        """Which batches of decisions are in force and which are turned back; no lots."""
        return self._read_on().batches()

    def in_force(self, *verbs: Verb) -> list[Decision]:
        """The decisions with these verbs that are not turned back, in order."""
        return self._read_on().in_force(*verbs)

    def batch(self, name: str) -> list[Decision]:
        """The decisions of one stroke."""
        return self._read_on().batch(name)

    def _read_on(self) -> Ledger:
        """The list only grows: what was read before is not read again, unless its last line is another one now."""
        told = self.ledger.told
        last = told[-1] if told else None
        found = self._read("seq >= ?", last.seq if last else 0)
        if last is not None and found[:1] != [last]:  # a transaction was rolled back, or the file is another one
            self.ledger.clear()
            last, found = None, self._read("seq >= ?", 0)
        self.ledger.add(found[1:] if last else found)
        return self.ledger

    def _read(self, where: str, value: object) -> list[Decision]:
        rows = self._db.rows(f"SELECT seq, data FROM decisions WHERE {where} ORDER BY seq", (value,))
        return [replace(loads(Decision, data), seq=seq) for seq, data in rows]

    def snapshot(self, seq: int) -> Snapshot:
        """The lot as it was at this decision; empty for undo, redo, and lots never kept."""
        row = self._db.row("SELECT lot_then, judgement_then FROM decisions WHERE seq = ?", (seq,))
        lot, judgement = row or (None, None)
        return Snapshot(loads(Lot, lot) if lot else None, loads(Judgement, judgement) if judgement else None)
