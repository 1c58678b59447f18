"""What other lots and sales say of a lot: the same certificate number seen elsewhere, a seller's other pieces."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from datetime import date, datetime

from watchlist.core.coins.issue import Issue
from watchlist.core.lots.record import Lot
from watchlist.core.marks.doubts import CertSeen
from watchlist.shelf.store import Store
from watchlist.shelf.store.certificates import CertSeen as CertKept
from watchlist.shelf.store.rows import LotRow

OVER = ("ended", "won", "lost")
"""States of lots that can be had no more."""


class Neighbours:
    """The other lots of one shelf at one moment. Those that came together may be joined before they are kept."""

    def __init__(self, store: Store, now: datetime, names: Callable[[str], str] = str) -> None:
        """`names`: the key of an issue to its name in words."""
        self._store, self._now, self._names = store, now, names
        self._batch: Sequence[LotRow] = ()
        self._sellers: dict[tuple[str, str], set[str]] | None = None

    def join(self, rows: Sequence[LotRow]) -> set[str]:
        """Let these lots be seen beside those that are kept; the keys of those that have something in common."""
        self._batch = rows
        for row in rows:
            if row.lot.seller and issue_of(row):
                self._beside().setdefault((issue_of(row), row.lot.seller), set()).add(row.lot.key)
        return _together(rows)

    def touched(self, rows: Sequence[LotRow]) -> set[str]:
        """Keys of other lots that share a certificate number, or seller and issue, with one of these."""
        keys: set[str] = set()
        for row in rows:
            if number := row.reading.cert_number:
                seen = self._store.certificates.seen(number, row.reading.service or "")
                keys |= {each.key for each in seen if each.where == "lot"}
            keys |= self._beside().get((issue_of(row), row.lot.seller), set())
        return keys - {row.lot.key for row in rows}

    def same_issue(self, lot: Lot, issue: Issue) -> int:
        """Other open lots of the issue by this lot's seller."""
        return len(self._beside().get((issue.key, lot.seller), set()) - {lot.key})

    def certs(self, number: str, service: str, leave_out: str) -> list[CertSeen]:
        """Where else a certificate number was seen: on other lots, at earlier sales, on lots that came together."""
        kept = [
            self._seen(*self._where(seen), seen.grade_low, seen.when, self._live(seen))
            for seen in self._store.certificates.seen(number, service)
            if seen.where == "price" or seen.key != leave_out
        ]
        known = {leave_out} | {seen.where.removeprefix("lot ") for seen in kept}
        return kept + [
            self._seen(f"lot {row.lot.key}", issue_of(row), row.reading.grade_low, self._now.date(), True)
            for row in self._batch
            if row.reading.cert_number == number and row.lot.key not in known
        ]

    def _seen(self, where: str, issue: str, grade: int | None, day: date | None, live: bool) -> CertSeen:
        return CertSeen(where, issue, grade, day, live, self._names(issue) if issue else "")

    def _where(self, seen: CertKept) -> tuple[str, str]:
        """Where a number was seen, in words, and the issue read there."""
        if seen.where == "lot":
            return f"lot {seen.key}", seen.issue
        price = self._store.prices.get(int(seen.key))
        return (f"{price.venue or 'a sale'}, {price.sale_date}" if price else "an earlier sale"), seen.issue

    def _live(self, seen: CertKept) -> bool:
        """On a lot that can still be had: an honest relisting follows one that has ended."""
        row = self._store.lots.get(seen.key) if seen.where == "lot" else None
        if row is None or row.lot.price_kind == "ended" or row.state in OVER:
            return False
        return row.lot.closes is None or row.lot.closes > self._now

    def _beside(self) -> dict[tuple[str, str], set[str]]:
        """Keys of open lots by issue and seller; read once, then kept up as lots come."""
        if self._sellers is None:
            self._sellers = {}
            for key, issue, seller in self._store.lots.open_sellers(self._now):
                self._sellers.setdefault((issue, seller), set()).add(key)
        return self._sellers


def issue_of(row: LotRow) -> str:
    """The issue that a lot was judged to be; empty where it is none."""
    return (row.judgement.issue if row.judgement else None) or ""


def _together(rows: Iterable[LotRow]) -> set[str]:
    """Keys of lots that share a certificate number, or seller and issue, with another of the batch."""
    groups: dict[tuple[str, str], list[str]] = {}
    for row in rows:
        if row.reading.cert_number:
            groups.setdefault(("cert", row.reading.cert_number), []).append(row.lot.key)
        if row.lot.seller and issue_of(row):
            groups.setdefault((row.lot.seller, issue_of(row)), []).append(row.lot.key)
    return {key for keys in groups.values() if len(keys) > 1 for key in keys}
