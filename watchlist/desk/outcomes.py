"""Results, purchases and filled wants: always what the decisions in force say, so that undo leaves no trace of them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date

from watchlist.core.decisions import results
from watchlist.core.decisions.review import Decision
from watchlist.core.lots.record import Lot
from watchlist.core.marks.record import Judgement
from watchlist.desk import judging, pricing
from watchlist.desk.desk import Desk
from watchlist.shelf.store.purchases import Purchase
from watchlist.shelf.store.rows import LotRow

SETTLES = frozenset({"won", "lost", "clear"})
"""Verbs that say whether a lot has a result; any other leaves it the one it had."""


@dataclass(frozen=True, slots=True)
class Settled:
    """What became of results."""

    bought: Mapping[str, results.Purchase | None] = field(default_factory=dict)
    """The lots that have a result now, with the purchase where they were won."""
    issues: frozenset[str] = frozenset()
    """Issues that gained or lost a result: their bands and marks have to follow."""


def settle(desk: Desk, lots: Iterable[str]) -> Settled:
    """Make results and purchases of these lots what the decisions in force say; a fit is due when any changed."""
    keys = list(dict.fromkeys(lots))
    if not keys:
        return Settled()
    issues = {issue for key in keys if (issue := _take_back(desk, key)) is not None}
    found: dict[str, results.Purchase | None] = {}
    for key in keys:
        if decision := _in_force(desk, key):
            issue, found[key] = _record(desk, decision)
            issues.add(issue)
    if issues:
        desk.forget()
        pricing.mark_dirty(desk)
    return Settled(found, frozenset(issues))


def _in_force(desk: Desk, lot: str) -> Decision | None:
    """The decision that gives the lot its result; None when none does."""
    said = [each for each in desk.shelf.store.decisions.of(lot) if each.verb in SETTLES]
    if all(each.verb == "clear" for each in said):
        return None
    done = frozenset(desk.shelf.store.decisions.batches().done)
    said = [each for each in said if each.batch in done]
    return said[-1] if said and said[-1].verb != "clear" and said[-1].amount is not None else None


def _take_back(desk: Desk, lot: str) -> str | None:
    """Forget the lot's result and purchase; the issue it counted for, None when there was nothing."""
    store = desk.shelf.store
    kept = store.results.of(lot)
    if not kept:
        return None
    store.results.drop(lot)
    bought = next((each for each in store.purchases.all() if each.lot == lot), None)
    if bought is not None:
        store.purchases.drop(lot)
        _fill(desk, bought.want, -1)
    return kept.price.issue


def _record(desk: Desk, decision: Decision) -> tuple[str, results.Purchase | None]:
    """Keep the result that a decision says, by the lot as it was then: its issue, and the purchase if it was won."""
    lot, row = _then(desk, decision)
    judgement = row.judgement or judging.Judge(desk).judge(row).judgement
    assert judgement is not None
    assert decision.amount is not None
    won = decision.verb == "won"
    made, bought = results.record(
        lot,
        row.reading,
        judgement,
        decision.amount,
        _day(desk, lot, decision),
        won=won,
        terms=desk.terms.get(lot.venue),
        rates=desk.rates,
    )
    desk.shelf.store.results.put(lot.key, made, won=won, at=decision.at)
    if bought is not None and bought.all_in is not None:
        desk.shelf.store.purchases.put(
            Purchase(
                lot.key,
                bought.issue or "",
                bought.all_in,
                decision.at,
                bought.grade_low,
                bought.grade_high,
                bought.want,
                bought.note,
            )
        )
        _fill(desk, bought.want, 1)
    return judgement.issue or "", bought


def _then(desk: Desk, decision: Decision) -> tuple[Lot, LotRow]:
    """The lot and what was known of it at the decision; a lot that was dropped since is read from its snapshot."""
    store = desk.shelf.store
    row, snapshot = store.lots.get(decision.lot), store.decisions.snapshot(decision.seq)
    lot = snapshot.lot or (row.lot if row else None)
    assert lot is not None, "a decision holds its lot"
    judgement: Judgement | None = snapshot.judgement or (row.judgement if row else None)
    reading = row.reading if row else desk.reader.read(lot.title, lot.description, dict(lot.fields), source=lot.source)
    return lot, LotRow(lot, reading, judgement)


def _day(desk: Desk, lot: Lot, decision: Decision) -> date:
    """The day it fell: that of the closing, or of the decision if it came first."""
    zone = desk.settings.home.zone
    return min((lot.closes or decision.at).astimezone(zone).date(), decision.at.astimezone(zone).date())


def _fill(desk: Desk, id: str, pieces: int) -> None:
    want = next((each for each in desk.shelf.notebook.wants.list() if each.id == id), None)
    if want is not None:
        desk.shelf.notebook.wants.put(results.fill(want, pieces))
