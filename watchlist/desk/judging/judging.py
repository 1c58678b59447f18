"""Lots against everything known: readings, matches, bands, doubts, marks."""

from __future__ import annotations

import hashlib
import json
import math
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import replace
from datetime import datetime, timedelta

from watchlist.core.lots.record import Lot
from watchlist.core.marks import mark as marks
from watchlist.core.marks.assumed import Assumed
from watchlist.core.marks.context import Context
from watchlist.core.marks.outcomes import Known, Outcome
from watchlist.core.marks.weighing import specs_from
from watchlist.core.prices.traits import traits_from
from watchlist.core.sift.filter import Filter
from watchlist.desk.desk import SIGNS_KEPT, Desk
from watchlist.desk.errors import Stopped
from watchlist.desk.judging.neighbours import Neighbours
from watchlist.shelf.settings import Settings
from watchlist.shelf.store import Store
from watchlist.shelf.store.rows import LotRow

BATCH = 250
"""Lots judged and kept in one go; between two of them a decision may be written, and Esc is heard."""
A_LITTLE = timedelta(hours=1)
"""Marks of open auctions change before the next usual gather; an hour more, so that none is missed."""
JUDGED_BY = "judged_by"
"""Name of the fact that says which market and settings the open lots were last judged by."""


class Judge:
    """Judges many lots of one morning; what other lots say of one is looked up as it goes."""

    def __init__(self, desk: Desk) -> None:
        prices, store = desk.settings.prices, desk.shelf.store
        self._catalogue = desk.catalogue
        self.neighbours = Neighbours(store, desk.now, self._name)
        self._store = store
        self.outcomes = outcomes(store)
        self._usual: Mapping[str, Sequence[float]] = (store.market.header() or {}).get("short", {})
        self._answered: dict[str, datetime | None] = {}
        self._dismissed: Mapping[str, Mapping[str, str]] | None = None
        self.context = Context(
            catalogue=desk.catalogue,
            wants=desk.wants,
            market=desk.market,
            rates=desk.rates,
            signs=desk.signs,
            now=desk.now,
            terms=desk.terms,
            specs=specs_from(desk.words["specs"]),
            bargain_at=prices.bargain_at,
            bargain_chance=float(prices.bargain_chance),
            max_ratio=prices.max_ratio,
            kind=desk.kind,
            every=desk.settings.morning.every,
            assumed=assumed_fees(desk.settings),
            gathered=self._gathered,
            traits=traits_from(desk.words["traits"]),
            learned=lambda lot, issue: self.outcomes.odds(lot.seller, issue.key),
            short=self._short,
            certs=self.neighbours.certs,
            same_issue=self.neighbours.same_issue,
            dismissed=self._signs_dismissed,
        )

    def judge(self, row: LotRow) -> LotRow:
        """The lot with its judgement."""
        return replace(row, judgement=marks.judge(row.lot, row.reading, self.context))

    def judge_new(self, rows: Sequence[LotRow]) -> list[LotRow]:
        """Lots that came together: those that share a certificate number or a seller's rarity see each other."""
        judged = [self.judge(row) for row in rows]
        together = self.neighbours.join(judged)
        return [self.judge(row) if row.lot.key in together else row for row in judged]

    def _name(self, issue: str) -> str:
        found = self._catalogue.by_key.get(issue)
        return found.name if found else issue

    def _short(self, lot: Lot) -> tuple[float, ...] | None:
        """How the lot's seller over-grades, as far as outcomes tell."""
        terms = self.context.terms.get(lot.venue)
        usual = self._usual.get(terms.kind if terms else "") or self._usual.get("")
        return self.outcomes.short(lot.seller, usual) if usual else None

    def _signs_dismissed(self, lot: str) -> Mapping[str, str]:
        """Signs that the person has set aside; all lots' are read once."""
        if self._dismissed is None:
            self._dismissed = dismissed(self._store)
        return self._dismissed.get(lot, {})

    def _gathered(self, source: str) -> datetime | None:
        """When a source last answered; None before it ever did."""
        if source not in self._answered:
            said = self._store.feeds.state(source).get("last_ok")
            self._answered[source] = datetime.fromisoformat(said) if said else None
        return self._answered[source]


def assumed_fees(settings: Settings) -> Assumed | None:
    """What venues without terms are taken to charge; None where the person wants their prices bare."""
    fees = settings.assumed_fees
    premium = {"auction": fees.auction, "marketplace": fees.marketplace, "dealer": fees.dealer}
    return Assumed(premium, fees.postage) if fees.count else None


CALLED = "called"
"""Kind of the finding that says when a lot was first marked Bargain, at what cost and value."""
OUTCOME = "outcome"
"""Kind of the finding that says what became of a piece bought."""


def outcomes(store: Store) -> Known:
    """All outcomes that were recorded."""
    return Known.of(
        Outcome(
            each.lot,
            each.data["said"],
            int(each.data["steps"]),
            1 / (1 + math.exp(-float(each.data["score"]))),
            str(each.data["seller"]),
            str(each.data["issue"]),
            bool(each.data["raw"]),
        )
        for each in store.findings.of(OUTCOME)
    )


def found_false(store: Store) -> frozenset[str]:
    """Keys of the lots of which the last outcome says that the piece is not genuine."""
    last = {each.lot: each.data["said"] for each in store.findings.of(OUTCOME)}
    return frozenset(lot for lot, said in last.items() if said == "not genuine")


DISMISSED = "dismissed"
"""Kind of the finding that says how a sign of a lot stands: dismissed with a note, or restored."""


def dismissed(store: Store) -> dict[str, dict[str, str]]:
    """By the key of the lot: the names of the signs that the person has set aside, each with the note."""
    standing: dict[str, dict[str, str]] = {}
    for finding in store.findings.of(DISMISSED):
        signs, sign = standing.setdefault(finding.lot, {}), str(finding.data.get("sign", ""))
        if finding.data.get("restored"):
            signs.pop(sign, None)
        else:
            signs[sign] = str(finding.data.get("note", ""))
    return standing


def judge_again(desk: Desk, rows: Sequence[LotRow]) -> None:
    """Judge stored lots anew and keep what came out. Raises Stopped between two batches."""
    _judge_in_batches(desk, len(rows), lambda some: rows[some])


def judge_all(desk: Desk) -> None:
    """Judge all open lots anew: the market or the rules have changed. Raises Stopped between two batches."""
    store, rules = desk.shelf.store, _rules(desk)
    lines = store.listing.each(Filter(open_at=desk.now))
    keys = [line.key for line in lines if line.kind != "ended" and line.state not in ("won", "lost", "ended")]
    _judge_in_batches(desk, len(keys), lambda some: store.lots.by_key(keys[some]).values())
    store.facts.put(JUDGED_BY, rules)


def _judge_in_batches(desk: Desk, number: int, rows: Callable[[slice], Iterable[LotRow]]) -> None:
    judge = Judge(desk)
    for start in range(0, number, BATCH):
        if not desk.go_on("marking the lots again", start / number):
            raise Stopped("Marking was stopped: some lots keep their old mark until the next gather.")
        done = [judge.judge(row) for row in rows(slice(start, start + BATCH))]
        desk.shelf.store.lots.judge((row.lot.key, row.judgement) for row in done if row.judgement)


def is_due(desk: Desk) -> bool:
    """The wants, the market or the settings are not those that the open lots were last judged by."""
    return desk.owed.all().marks or bool(desk.shelf.store.facts.get(JUDGED_BY) != _rules(desk))


def _rules(desk: Desk) -> str:
    prices, header = desk.settings.prices, desk.shelf.store.market.header()
    kept = desk.shelf.store.facts.get(SIGNS_KEPT)
    rules = (desk.home, desk.kind, prices, desk.settings.morning, desk.settings.assumed_fees, kept, header)
    return hashlib.sha256(json.dumps(rules, sort_keys=True, default=str).encode()).hexdigest()[:16]


def closing_soon(desk: Desk) -> list[LotRow]:
    """Lots of whose auctions the bid so far now counts, but for those that came just now: they are judged."""
    soon = Filter(
        open_at=desk.now, closes_after=desk.now, closes_before=desk.now + desk.settings.morning.every + A_LITTLE
    )
    now = desk.now.replace(microsecond=0)
    keys = [line.key for line in desk.shelf.store.listing.each(soon) if line.first_seen != now]
    return [row for row in desk.shelf.store.lots.by_key(keys).values() if row.lot.last_seen != desk.now]
