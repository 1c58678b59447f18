"""A piece in the hand: its check kept with lot or coin, turned back as other decisions are, and pieces to compare."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime

from watchlist.core.bench.alloys import metals_from
from watchlist.core.bench.check import Check, Standards, check
from watchlist.core.bench.measurements import BenchError, Measurements, measurements_from
from watchlist.core.bench.order import Order, order_of
from watchlist.core.coins.issue import Issue
from watchlist.core.decisions.review import Decision
from watchlist.core.marks.signs import signs_from
from watchlist.core.marks.weighing import specs_from
from watchlist.desk.changes import append, batch_name
from watchlist.desk.desk import Desk
from watchlist.desk.errors import DeskError
from watchlist.desk.naming import coin, lot_key

BENCH = "bench"
"""Kind of the finding that holds what was measured, as typed."""


@dataclass(frozen=True, slots=True)
class Subject:
    """What lies on the bench."""

    issue: Issue
    grade: int | None
    """Number of the 70-point scale; None where it is not known."""
    lot: str = ""
    """Key of the lot it was bought as; empty for a coin of one's own."""


@dataclass(frozen=True, slots=True)
class Kept:
    """One check that was kept and not turned back."""

    issue: str
    lot: str
    at: datetime
    typed: Mapping[str, str]
    reference: bool
    """A piece known to be genuine, to compare others with."""


def subject(desk: Desk, words: str, grade: int | None = None) -> Subject:
    """The lot or the coin that is meant; a grade given wins over the lot's own. Raises DeskError."""
    store = desk.shelf.store
    row = store.lots.get(lot_key(store, words)) if store.lots.find(words) else None
    if row is None:
        return Subject(coin(desk, words), grade)
    key = row.judgement.issue if row.judgement else None
    issue = desk.catalogue.by_key.get(key or "")
    if issue is None:
        raise DeskError(
            f"Lot {row.lot.key} is not identified, so there is nothing to hold it against: name its coin instead, or "
            f"teach it with `watchlist read --correct {row.lot.key} ...`. Nothing was stored."
        )
    return Subject(issue, row.reading.grade_low if grade is None else grade, row.lot.key)


def look(desk: Desk, piece: Subject, typed: Mapping[str, str]) -> tuple[Check, Order]:
    """The check of what was typed, and the order of checks for such a piece. Raises DeskError; stores nothing."""
    metals = metals_from(desk.words["alloys"])
    standards = Standards(
        signs_from(desk.words["signs"]), specs_from(desk.words["specs"]), metals, genuine(desk, piece.issue)
    )
    try:
        found = check(piece.issue, piece.grade, measurements_from(typed), standards)
    except BenchError as error:
        raise DeskError(str(error)) from error
    return found, order_of(piece.issue, piece.grade, metals, desk.words["bench"])


def keep(desk: Desk, piece: Subject, typed: Mapping[str, str], *, reference: bool = False) -> None:
    """Keep what was measured, with the lot or coin; undo turns it back."""
    store, data = desk.shelf.store, {name: text for name, text in typed.items() if text.strip()}
    with store.together():
        number = store.findings.add(
            BENCH, piece.lot, desk.now, {"issue": piece.issue.key, "typed": data, "reference": reference}
        )
        append(desk, [Decision(0, batch_name(), desk.now, "bench", piece.lot, target=str(number))])


def kept(desk: Desk) -> list[Kept]:
    """All checks in force, oldest first."""
    store = desk.shelf.store
    done = frozenset(store.decisions.batches().done)
    told = {line.target for line in store.decisions.all() if line.verb == "bench" and line.batch in done}
    return [
        Kept(str(each.data["issue"]), each.lot, each.at, each.data["typed"], bool(each.data.get("reference")))
        for each in store.findings.of(BENCH)
        if str(each.id) in told
    ]


def genuine(desk: Desk, issue: Issue) -> tuple[Measurements, ...]:
    """Pieces of the same series and weight that the person knows to be genuine."""
    found = []
    for each in kept(desk):
        other = desk.catalogue.by_key.get(each.issue)
        if each.reference and other is not None and (other.series, other.weight_g) == (issue.series, issue.weight_g):
            found.append(measurements_from(each.typed))
    return tuple(found)
