"""Lots against everything known: readings, matches, bands, doubts, marks."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from datetime import timedelta
from itertools import islice

from watchlist.core.coins.issue import Issue
from watchlist.core.lots.lot import Lot
from watchlist.core.marks import doubts
from watchlist.core.marks import mark as marks
from watchlist.core.marks.context import Context
from watchlist.core.marks.signs import signs_from
from watchlist.core.marks.weighing import specs_from
from watchlist.desk.desk import Desk
from watchlist.shelf.store.filters import Filter
from watchlist.shelf.store.prices import CertSeen
from watchlist.shelf.store.rows import LotRow

BATCH = 500
SOON = timedelta(hours=13)
"""Marks of open auctions change in their last 12 hours; an hour more, so that none is missed."""


class Judge:
    """Judges many lots of one morning; looks up certificates and a seller's other lots as it goes."""

    def __init__(self, desk: Desk) -> None:
        self.desk = desk
        self._sellers: dict[tuple[str, str], set[str]] | None = None
        prices = desk.settings.prices
        self.context = Context(
            catalogue=desk.catalogue, wants=desk.wants, market=desk.market, rates=desk.rates,
            signs=signs_from(desk.words["signs"]), now=desk.now, terms=desk.terms,
            specs=specs_from(desk.words["specs"]), bargain_at=prices.bargain_at, max_ratio=prices.max_ratio,
            kind=prices.kind, certs=self._certs, same_issue=self._same_issue,
        )

    def judge(self, row: LotRow) -> LotRow:
        """The lot with its judgement."""
        return replace(row, judgement=marks.judge(row.lot, row.reading, self.context))

    def judge_new(self, rows: Sequence[LotRow]) -> list[LotRow]:
        """Lots that came together: those that share a certificate number or a seller's rarity see each other."""
        judged = [self.judge(row) for row in rows]
        self._batch = judged
        for row in judged:
            if row.lot.seller and _issue(row):
                self._beside().setdefault((_issue(row), row.lot.seller), set()).add(row.lot.key)
        together = _together(judged)
        return [self.judge(row) if row.lot.key in together else row for row in judged]

    _batch: Sequence[LotRow] = ()

    def touched(self, rows: Iterable[LotRow]) -> set[str]:
        """Keys of other lots that share a certificate number, or seller and issue, with one of these."""
        rows = list(rows)
        keys: set[str] = set()
        for row in rows:
            if number := row.reading.cert_number:
                seen = self.desk.shelf.store.certs(number, row.reading.service or "")
                keys |= {each.key for each in seen if each.where == "lot"}
            keys |= self._beside().get((_issue(row), row.lot.seller), set())
        return keys - {row.lot.key for row in rows}

    def _certs(self, number: str, service: str, leave_out: str) -> list[doubts.CertSeen]:
        kept = [
            doubts.CertSeen(*self._where(seen.where, seen.key, seen.issue), seen.grade_low, seen.when, self._live(seen))
            for seen in self.desk.shelf.store.certs(number, service)
            if seen.where == "price" or seen.key != leave_out
        ]
        known = {leave_out} | {seen.where.removeprefix("lot ") for seen in kept}
        return kept + [
            doubts.CertSeen(f"lot {row.lot.key}", _issue(row), row.reading.grade_low, self.desk.now.date(), True)
            for row in self._batch
            if row.reading.cert_number == number and row.lot.key not in known
        ]

    def _where(self, where: str, key: str, issue: str) -> tuple[str, str]:
        """Where a number was seen, in words, and the issue read there."""
        if where == "lot":
            return f"lot {key}", issue
        price = self.desk.shelf.store.price(int(key))
        return (f"{price.venue or 'a sale'}, {price.sale_date}" if price else "an earlier sale"), issue

    def _live(self, seen: CertSeen) -> bool:
        """On a lot that can still be had: an honest relisting follows one that has ended."""
        row = self.desk.shelf.store.lot(seen.key) if seen.where == "lot" else None
        if row is None or row.lot.price_kind == "ended" or row.state in ("ended", "won", "lost"):
            return False
        return row.lot.closes is None or row.lot.closes > self.desk.now

    def _same_issue(self, lot: Lot, issue: Issue) -> int:
        """Other open lots of the issue by this lot's seller."""
        return len(self._beside().get((issue.key, lot.seller), set()) - {lot.key})

    def _beside(self) -> dict[tuple[str, str], set[str]]:
        """Keys of open lots by issue and seller; read once, then kept up as lots come."""
        if self._sellers is None:
            self._sellers = {}
            for key, issue, seller in self.desk.shelf.store.open_sellers(self.desk.now):
                self._sellers.setdefault((issue, seller), set()).add(key)
        return self._sellers


def _issue(row: LotRow) -> str:
    return (row.judgement.issue if row.judgement else None) or ""


def _together(rows: Iterable[LotRow]) -> set[str]:
    """Keys of lots that share a certificate number, or seller and issue, with another of the batch."""
    groups: dict[tuple[str, str], list[str]] = {}
    for row in rows:
        if row.reading.cert_number:
            groups.setdefault(("cert", row.reading.cert_number), []).append(row.lot.key)
        if row.lot.seller and _issue(row):
            groups.setdefault((row.lot.seller, _issue(row)), []).append(row.lot.key)
    return {key for keys in groups.values() if len(keys) > 1 for key in keys}


def judge_again(desk: Desk, rows: Iterable[LotRow], judge: Judge | None = None) -> int:
    """Judge stored lots anew and keep what came out; how many."""
    judge, count, rest = judge or Judge(desk), 0, iter(rows)
    while batch := list(islice(rest, BATCH)):
        done = [judge.judge(row) for row in batch]
        desk.shelf.store.update_judgements((row.lot.key, row.judgement) for row in done if row.judgement)
        count += len(done)
    return count


def open_rows(desk: Desk) -> list[LotRow]:
    """All lots that can still be had; read whole before any is written."""
    return list(desk.shelf.store.open_lots(desk.now))


RULES = "judged_by"
"""Name of the fact that says which market and settings the open lots were last judged by."""


def judge_all(desk: Desk) -> int:
    """Judge all open lots anew: the market or the rules have changed. How many."""
    count = judge_again(desk, open_rows(desk))
    desk.shelf.store.put_fact(RULES, _rules(desk))
    return count


def rules_changed(desk: Desk) -> bool:
    """The market or the settings are not those that the open lots were last judged by."""
    return bool(desk.shelf.store.fact(RULES) != _rules(desk))


def _rules(desk: Desk) -> str:
    prices, header = desk.settings.prices, desk.shelf.store.market_header()
    rules = (desk.home, prices.kind, prices.years, prices.bargain_at, prices.max_ratio, header)
    return hashlib.sha256(json.dumps(rules, sort_keys=True, default=str).encode()).hexdigest()[:16]


def closing_soon(desk: Desk) -> Iterator[LotRow]:
    """Lots of whose auctions the bid so far now counts."""
    soon = Filter(open_at=desk.now, closes_after=desk.now, closes_before=desk.now + SOON)
    keys = [line.key for line in desk.shelf.store.each_line(soon)]
    return iter(desk.shelf.store.lots_by_key(keys).values())


def read_again(desk: Desk, row: LotRow) -> LotRow:
    """The lot read anew: the person's corrections or the catalogue changed."""
    lot = row.lot
    reading = desk.reader.read(lot.title, lot.description, dict(lot.fields), source=lot.source)
    return replace(row, reading=reading)
