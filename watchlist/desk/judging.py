"""Lots against everything known: readings, matches, bands, doubts, marks."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import timedelta

from watchlist.core.coins.issue import Issue
from watchlist.core.lots.record import Lot
from watchlist.core.marks import doubts
from watchlist.core.marks import mark as marks
from watchlist.core.marks.context import Context
from watchlist.core.marks.signs import signs_from
from watchlist.core.marks.weighing import specs_from
from watchlist.desk.desk import Desk
from watchlist.desk.errors import Stopped
from watchlist.shelf.store.certificates import CertSeen
from watchlist.shelf.store.filters import Filter
from watchlist.shelf.store.rows import LotRow

BATCH = 250
SOON = timedelta(hours=13)
"""Marks of open auctions change in their last 12 hours; an hour more, so that none is missed."""


class Judge:
    """Judges many lots of one morning; looks up certificates and a seller's other lots as it goes."""

    def __init__(self, desk: Desk) -> None:
        self.desk = desk
        self._sellers: dict[tuple[str, str], set[str]] | None = None
        self._dismissed: dict[str, dict[str, str]] | None = None
        prices = desk.settings.prices
        self.context = Context(
            catalogue=desk.catalogue,
            wants=desk.wants,
            market=desk.market,
            rates=desk.rates,
            signs=signs_from(desk.words["signs"]),
            now=desk.now,
            terms=desk.terms,
            specs=specs_from(desk.words["specs"]),
            bargain_at=prices.bargain_at,
            max_ratio=prices.max_ratio,
            kind=prices.kind,
            certs=self._certs,
            same_issue=self._same_issue,
            dismissed=self._signs_dismissed,
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
                seen = self.desk.shelf.store.certificates.seen(number, row.reading.service or "")
                keys |= {each.key for each in seen if each.where == "lot"}
            keys |= self._beside().get((_issue(row), row.lot.seller), set())
        return keys - {row.lot.key for row in rows}

    def _certs(self, number: str, service: str, leave_out: str) -> list[doubts.CertSeen]:
        kept = [
            doubts.CertSeen(*self._where(seen.where, seen.key, seen.issue), seen.grade_low, seen.when, self._live(seen))
            for seen in self.desk.shelf.store.certificates.seen(number, service)
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
        price = self.desk.shelf.store.prices.get(int(key))
        return (f"{price.venue or 'a sale'}, {price.sale_date}" if price else "an earlier sale"), issue

    def _live(self, seen: CertSeen) -> bool:
        """On a lot that can still be had: an honest relisting follows one that has ended."""
        row = self.desk.shelf.store.lots.get(seen.key) if seen.where == "lot" else None
        if row is None or row.lot.price_kind == "ended" or row.state in ("ended", "won", "lost"):
            return False
        return row.lot.closes is None or row.lot.closes > self.desk.now

    def _same_issue(self, lot: Lot, issue: Issue) -> int:
        """Other open lots of the issue by this lot's seller."""
        return len(self._beside().get((issue.key, lot.seller), set()) - {lot.key})

    def _signs_dismissed(self, lot: str) -> Mapping[str, str]:
        """Signs that the person has set aside; all lots' are read once."""
        if self._dismissed is None:
            self._dismissed = dismissed(self.desk)
        return self._dismissed.get(lot, {})

    def _beside(self) -> dict[tuple[str, str], set[str]]:
        """Keys of open lots by issue and seller; read once, then kept up as lots come."""
        if self._sellers is None:
            self._sellers = {}
            for key, issue, seller in self.desk.shelf.store.lots.open_sellers(self.desk.now):
                self._sellers.setdefault((issue, seller), set()).add(key)
        return self._sellers


DISMISSED = "dismissed"
"""Kind of the finding that says how a sign of a lot stands: dismissed with a note, or restored."""


def dismissed(desk: Desk) -> dict[str, dict[str, str]]:
    """By the key of the lot: the names of the signs that the person has set aside, each with the note."""
    standing: dict[str, dict[str, str]] = {}
    for finding in desk.shelf.store.findings.of(DISMISSED):
        signs, sign = standing.setdefault(finding.lot, {}), str(finding.data.get("sign", ""))
        if finding.data.get("restored"):
            signs.pop(sign, None)
        else:
            signs[sign] = str(finding.data.get("note", ""))
    return standing


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


def judge_again(desk: Desk, rows: Iterable[LotRow]) -> int:
    """Judge stored lots anew and keep what came out; how many. Raises Stopped between two batches."""
    judge, lots = Judge(desk), list(rows)
    for start in range(0, len(lots), BATCH):
        _step(desk, start / len(lots))
        _judge(judge, lots[start : start + BATCH])
    return len(lots)


def _step(desk: Desk, share: float) -> None:
    if not desk.going("judging the lots anew", share):
        judging_is_due(desk)
        raise Stopped("Judging was stopped: some lots keep the mark they had; the next gather judges them anew.")


def _judge(judge: Judge, rows: Iterable[LotRow]) -> None:
    done = [judge.judge(row) for row in rows]
    judge.desk.shelf.store.lots.judge((row.lot.key, row.judgement) for row in done if row.judgement)


def open_rows(desk: Desk) -> list[LotRow]:
    """All lots that can still be had; read whole before any is written."""
    return list(desk.shelf.store.lots.open(desk.now))


RULES = "judged_by"
"""Name of the fact that says which market and settings the open lots were last judged by."""


def judge_all(desk: Desk) -> int:
    """Judge all open lots anew: the market or the rules have changed. How many. Broken off, it stays due."""
    judging_is_due(desk)
    lines = desk.shelf.store.listing.each(Filter(open_at=desk.now))
    keys = [line.key for line in lines if line.kind != "ended" and line.state not in ("won", "lost", "ended")]
    judge = Judge(desk)
    for start in range(0, len(keys), BATCH):
        _step(desk, start / len(keys))
        _judge(judge, desk.shelf.store.lots.by_key(keys[start : start + BATCH]).values())
    desk.shelf.store.facts.put(RULES, _rules(desk))
    return len(keys)


def judging_is_due(desk: Desk) -> None:
    """The next gather judges all open lots anew."""
    desk.shelf.store.facts.put(RULES, "")


def rules_changed(desk: Desk) -> bool:
    """The market or the settings are not those that the open lots were last judged by."""
    return bool(desk.shelf.store.facts.get(RULES) != _rules(desk))


def _rules(desk: Desk) -> str:
    prices, header = desk.settings.prices, desk.shelf.store.market.header()
    rules = (desk.home, prices.kind, prices.years, prices.bargain_at, prices.max_ratio, header)
    return hashlib.sha256(json.dumps(rules, sort_keys=True, default=str).encode()).hexdigest()[:16]


def closing_soon(desk: Desk) -> Iterator[LotRow]:
    """Lots of whose auctions the bid so far now counts, but for those that came just now: they are judged."""
    soon = Filter(open_at=desk.now, closes_after=desk.now, closes_before=desk.now + SOON)
    now = desk.now.replace(microsecond=0)
    keys = [line.key for line in desk.shelf.store.listing.each(soon) if line.first_seen != now]
    rows = desk.shelf.store.lots.by_key(keys).values()
    return (row for row in rows if row.lot.last_seen != desk.now)


def read_again(desk: Desk, row: LotRow) -> LotRow:
    """The lot read anew: the person's corrections or the catalogue changed."""
    lot = row.lot
    reading = desk.reader.read(lot.title, lot.description, dict(lot.fields), source=lot.source)
    return replace(row, reading=reading)
