"""A piece in the hand: its check kept with lot or coin, turned back as other decisions are, and pieces to compare."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import datetime

from watchlist.core.bench.alloys import metals_from
from watchlist.core.bench.check import Check, Kin, Standards, check
from watchlist.core.bench.measurements import BenchError, Measurements, measurements_from
from watchlist.core.bench.order import order_of
from watchlist.core.bench.several import CONFORMAL, LEAST
from watchlist.core.coins.issue import Issue
from watchlist.core.decisions.review import Decision
from watchlist.core.marks.signs import signs_from
from watchlist.core.marks.weighing import specs_from
from watchlist.desk.changes import append, batch_name
from watchlist.desk.desk import Desk
from watchlist.desk.errors import DeskError
from watchlist.desk.in_hand import courses
from watchlist.desk.in_hand.dates import back_by
from watchlist.desk.naming import coin, lot_key
from watchlist.page import bench as bench_text
from watchlist.page import bench_html
from watchlist.page.drawing import ASCII, Alphabet

BENCH = "bench"
"""Kind of the finding that holds what was measured, as typed, and the report on it."""
PAGE = 80
"""Columns of a report that is kept."""


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
    report: tuple[str, ...] = ()
    """What was said then, line by line; empty for a check kept before reports were."""
    page: str = ""
    """The same as an HTML page."""


def subject(desk: Desk, words: str, grade: int | None = None) -> Subject:
    """The lot, the piece of a stock number or the coin that is meant; a grade given wins over the lot's own.

    Raises DeskError."""
    store, words = desk.shelf.store, courses.numbered(desk, words) or words
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


class Bench:
    """One piece on the bench: what it is held against is read once, so that a form can answer as one types."""

    def __init__(self, desk: Desk, piece: Subject) -> None:
        metals = metals_from(desk.words["alloys"])
        self.piece, self._zone = piece, desk.settings.home.zone
        self.standards = Standards(
            signs_from(desk.words["signs"]), specs_from(desk.words["specs"]), metals, *genuine(desk, piece)
        )
        self.back = back_by(desk, piece.lot)
        """By when the piece can go back, in sentences."""
        self.order = order_of(piece.issue, piece.grade, metals, desk.words["bench"])

    def look(self, typed: Mapping[str, str], *, while_typing: bool = False) -> Check:
        """The check of what was typed. Raises DeskError; stores nothing.

        `while_typing` leaves out the comparison that has to be simulated: it takes longer than a key may."""
        standards = self.standards
        if while_typing and len(standards.genuine) < CONFORMAL:
            standards = replace(standards, genuine=())
        try:
            return check(self.piece.issue, self.piece.grade, measurements_from(typed), standards)
        except BenchError as error:
            raise DeskError(str(error)) from error

    def advice(self, width: int) -> list[str]:
        """By when it can go back, what to check and what not to do."""
        return bench_text.advice(self.order, width, self.back)

    def report(self, found: Check, width: int, draw: Alphabet = ASCII) -> list[str]:
        """All that a check says."""
        return bench_text.report(self.piece.issue.name, found, self.order, width, self.back, draw)

    def page(self, typed: Mapping[str, str], found: Check, at: datetime) -> str:
        """The check as an HTML page."""
        piece, told = self.piece, [(name, text) for name, text in typed.items() if text.strip()]
        sheet = bench_html.Sheet(
            piece.issue.name, f"{at.astimezone(self._zone):%Y-%m-%d %H:%M}", told, piece.lot, self.back
        )
        return bench_html.page(sheet, found, self.order)


def keep(desk: Desk, bench: Bench, typed: Mapping[str, str], found: Check, *, reference: bool = False) -> None:
    """Keep what was measured and the report on it, with the lot or coin; undo reverses it."""
    store, piece = desk.shelf.store, bench.piece
    data = {
        "issue": piece.issue.key,
        "typed": {name: text for name, text in typed.items() if text.strip()},
        "reference": reference,
        "report": bench.report(found, PAGE),
        "page": bench.page(typed, found, desk.now),
    }
    with store.together():
        number = store.findings.add(BENCH, piece.lot, desk.now, data)
        append(desk, [Decision(0, batch_name(), desk.now, "bench", piece.lot, target=str(number))])


def kept_of(desk: Desk, piece: Subject) -> list[Kept]:
    """The checks of one piece, oldest first: by its lot, or those of its coin that no lot has."""
    return [each for each in kept(desk) if (each.lot, each.issue) == (piece.lot, piece.issue.key)]


def kept(desk: Desk) -> list[Kept]:
    """All checks in force, oldest first."""
    store = desk.shelf.store
    done = frozenset(store.decisions.batches().done)
    told = {line.target for line in store.decisions.all() if line.verb == "bench" and line.batch in done}
    return [
        Kept(
            str(each.data["issue"]),
            each.lot,
            each.at,
            each.data["typed"],
            bool(each.data.get("reference")),
            tuple(each.data.get("report", ())),
            str(each.data.get("page", "")),
        )
        for each in store.findings.of(BENCH)
        if str(each.id) in told
    ]


def genuine(desk: Desk, piece: Subject) -> tuple[tuple[Measurements, ...], Kin]:
    """Pieces that the person knows to be genuine: of the same issue where enough are kept, else of the same type,
    which is the series and weight. Each once, as last measured; the piece itself is none of them."""
    issue, found = piece.issue, list(_references(desk, piece.lot))
    same = [each for each in found if each.issue == issue.key]
    if len(same) >= LEAST:
        return tuple(measurements_from(each.typed) for each in same), "issue"
    return tuple(measurements_from(each.typed) for each in found if _alike(desk, each.issue, issue)), "type"


def _references(desk: Desk, lot: str) -> Iterable[Kept]:
    """The newest check of each piece known to be genuine, but the piece itself; coins that no lot has are all apart."""
    marked = (each for each in kept(desk) if each.reference and (each.lot != lot or not lot))
    return {each.lot or number: each for number, each in enumerate(marked)}.values()


def _alike(desk: Desk, key: str, issue: Issue) -> bool:
    other = desk.catalogue.by_key.get(key)
    return other is not None and (other.series, other.weight_g) == (issue.series, issue.weight_g)
