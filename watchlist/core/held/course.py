"""The course of a parcel and of a piece, folded from the decisions in force; any step may be skipped."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field, replace
from datetime import date
from decimal import Decimal
from typing import Literal

from watchlist.core.decisions.review import Decision
from watchlist.core.money.amount import Money

Split = Literal["by-price", "by-piece"]
NOT_AS_DESCRIBED = "not as described"
"""A piece that went back for this reason weighs nothing in the market."""
PieceState = Literal[
    "won",
    "arrived",
    "checked",
    "kept",
    "returned",
    "refunded",
    "disputed",
    "settled",
    "at service",
    "consigned",
    "sold",
]
ParcelState = Literal["open", "invoiced", "part paid", "paid", "dispatched", "arrived"]


@dataclass(frozen=True, slots=True)
class Payment:
    """A sum that was paid."""

    amount: Money
    """Home currency."""
    on: date
    settles: Money | None = None
    """How much of the invoice it settles, in the sale's currency; None: all that was owed."""


@dataclass(frozen=True, slots=True)
class ParcelCourse:
    """What was said of a parcel since its invoice."""

    id: str
    lots: tuple[str, ...] = ()
    """Keys, as the invoice names them."""
    invoiced: Money | None = None
    """Sale currency."""
    invoiced_on: date | None = None
    due: date | None = None
    number: str = ""
    stated: Mapping[str, Decimal] = field(default_factory=dict)
    """Lines of the invoice that were told: `post`, `insurance`, ..."""
    payments: tuple[Payment, ...] = ()
    refunds: tuple[Payment, ...] = ()
    """Of the parcel as a whole, such as postage that was charged too high."""
    dispatched: date | None = None
    arrived: date | None = None
    split: Split = "by-price"

    @property
    def state(self) -> ParcelState:
        """How far it is."""
        if self.arrived or self.dispatched:
            return "arrived" if self.arrived else "dispatched"
        if not self.payments:
            return "invoiced" if self.invoiced else "open"
        return "part paid" if self.owed else "paid"

    @property
    def owed(self) -> Money | None:
        """What is still to be paid, sale currency; None where nothing is, or no invoice came."""
        if self.invoiced is None:
            return None
        left = self.invoiced.amount
        for payment in self.payments:
            left = Decimal(0) if payment.settles is None else left - payment.settles.amount
        return Money(left, self.invoiced.currency) if left > 0 else None

    @property
    def paid(self) -> Decimal:
        """All that was paid less what came back for the whole parcel, home currency."""
        sums = sum((each.amount.amount for each in self.payments), Decimal(0))
        return sums - sum((each.amount.amount for each in self.refunds), Decimal(0))

    @property
    def paid_on(self) -> date | None:
        """The day of the last payment."""
        return max((each.on for each in self.payments), default=None)


@dataclass(frozen=True, slots=True)
class Link:
    """One link of a piece's provenance: a sale, a collection, a catalogue."""

    what: str
    when: str = ""
    """As told: a day, a month, a year; empty where it is not known."""


@dataclass(frozen=True, slots=True)
class Certified:
    """What a grading service made of a piece that was sent to it."""

    low: int | None
    high: int | None
    service: str
    number: str


@dataclass(frozen=True, slots=True)
class PieceCourse:
    """What became of one piece after it was won."""

    lot: str
    state: PieceState = "won"
    checked: date | None = None
    kept: date | None = None
    returned: date | None = None
    reason: str = ""
    postage: Decimal = Decimal(0)
    """Of sending it back, home currency."""
    refunded: Decimal = Decimal(0)
    refunded_on: date | None = None
    disputed: date | None = None
    settled: date | None = None
    sold: Money | None = None
    sold_on: date | None = None
    fees: Decimal = Decimal(0)
    """Of selling it, home currency."""
    spent: Decimal = Decimal(0)
    """On it since: a grading service, a consignment."""
    reserve: Money | None = None
    """Under which it is not to be sold, while it is consigned; home currency."""
    note: str = ""
    pictures: tuple[str, ...] = ()
    """Paths, as they were told; never opened."""
    place: str = ""
    """Where it is stored, in the person's words."""
    certified: Certified | None = None
    """As it came back from a service; None where nothing was said of that."""
    chain: tuple[Link, ...] = ()
    """Where it was before, in the order in which it was told."""

    @property
    def weighs_nothing(self) -> bool:
        """Its price tells nothing of the market: it went back as not as described, or is disputed."""
        contested = self.disputed is not None and self.settled is None
        return contested or (self.returned is not None and self.reason == NOT_AS_DESCRIBED)

    @property
    def gone(self) -> bool:
        """The person does not have it any more."""
        return self.returned is not None or self.sold is not None


@dataclass(frozen=True, slots=True)
class Courses:
    """All of them."""

    parcels: Mapping[str, ParcelCourse]
    pieces: Mapping[str, PieceCourse]

    def piece(self, lot: str) -> PieceCourse:
        """The course of a piece; of one that nothing was said of, that it was won."""
        return self.pieces.get(lot) or PieceCourse(lot)

    def parcel_of(self, lot: str) -> ParcelCourse | None:
        """The invoiced parcel that a lot came in."""
        return next((each for each in self.parcels.values() if lot in each.lots), None)


def courses(decisions: Iterable[Decision]) -> Courses:
    """The courses by the decisions in force, in order. What is said twice counts as said last; payments add up."""
    parcels: dict[str, ParcelCourse] = {}
    pieces: dict[str, PieceCourse] = {}
    for line in decisions:
        if (on_parcel := PARCEL.get(line.verb)) is not None and line.target:
            parcels[line.target] = on_parcel(parcels.get(line.target) or ParcelCourse(line.target), line)
        elif (on_piece := PIECE.get(line.verb)) is not None and line.lot:
            pieces[line.lot] = on_piece(pieces.get(line.lot) or PieceCourse(line.lot), line)
        elif line.verb == "clear":
            pieces.pop(line.lot, None)
    return Courses(parcels, pieces)


def day_of(line: Decision) -> date:
    """The day it happened: as said, else that on which it was said."""
    return line.day or line.at.date()


def _money(text: str) -> Money | None:
    amount, _, code = text.partition(" ")
    return Money(Decimal(amount), code) if code else None


def _sum(line: Decision, name: str) -> Decimal:
    return Decimal(line.facts.get(name) or 0)


def _invoiced(was: ParcelCourse, line: Decision) -> ParcelCourse:
    facts = line.facts
    due = date.fromisoformat(facts["due"]) if facts.get("due") else None
    stated = {name: Decimal(facts[name]) for name in ("post", "insurance", "premium", "vat") if facts.get(name)}
    lots = tuple(filter(None, facts.get("lots", "").split("\n")))
    return replace(
        was,
        lots=lots or was.lots,
        invoiced=line.amount,
        invoiced_on=day_of(line),
        due=due,
        number=facts.get("number", ""),
        stated=stated,
    )


def _paid(was: ParcelCourse, line: Decision) -> ParcelCourse:
    assert line.amount is not None, "a payment names its sum"
    made = Payment(line.amount, day_of(line), _money(line.facts.get("settles", "")))
    lots = tuple(filter(None, line.facts.get("lots", "").split("\n")))
    return replace(was, lots=was.lots or lots, payments=(*was.payments, made))


def _parcel_refunded(was: ParcelCourse, line: Decision) -> ParcelCourse:
    assert line.amount is not None, "a refund names its sum"
    return replace(was, refunds=(*was.refunds, Payment(line.amount, day_of(line))))


def _moved(was: ParcelCourse, line: Decision) -> ParcelCourse:
    lots = tuple(filter(None, line.facts.get("lots", "").split("\n")))
    day = day_of(line)
    moved = replace(was, arrived=day) if line.verb == "arrived" else replace(was, dispatched=day)
    return replace(moved, lots=was.lots or lots)


def _split(was: ParcelCourse, line: Decision) -> ParcelCourse:
    return replace(was, split="by-piece" if line.note == "by-piece" else "by-price")


PARCEL: Mapping[str, Callable[[ParcelCourse, Decision], ParcelCourse]] = {
    "invoiced": _invoiced,
    "paid": _paid,
    "parcel refunded": _parcel_refunded,
    "dispatched": _moved,
    "arrived": _moved,
    "split": _split,
}


def _checked(was: PieceCourse, line: Decision) -> PieceCourse:
    return replace(was, state="checked", checked=day_of(line))


def _kept(was: PieceCourse, line: Decision) -> PieceCourse:
    return replace(was, state="kept", kept=day_of(line), note=line.note or was.note)


def _returned(was: PieceCourse, line: Decision) -> PieceCourse:
    reason = " ".join(line.note.casefold().split()) or was.reason
    return replace(was, state="returned", returned=day_of(line), reason=reason, postage=_sum(line, "postage"))


def _refunded(was: PieceCourse, line: Decision) -> PieceCourse:
    assert line.amount is not None, "a refund names its sum"
    return replace(was, state="refunded", refunded=was.refunded + line.amount.amount, refunded_on=day_of(line))


def _disputed(was: PieceCourse, line: Decision) -> PieceCourse:
    return replace(was, state="disputed", disputed=day_of(line), settled=None, reason=line.note or was.reason)


def _settled(was: PieceCourse, line: Decision) -> PieceCourse:
    return replace(was, state="settled", settled=day_of(line))


def _sold(was: PieceCourse, line: Decision) -> PieceCourse:
    return replace(was, state="sold", sold=line.amount, sold_on=day_of(line), fees=_sum(line, "fees"))


def _sent(was: PieceCourse, line: Decision) -> PieceCourse:
    return replace(was, state="at service", spent=was.spent + _sum(line, "fees"), note=line.note or was.note)


def _back(was: PieceCourse, line: Decision) -> PieceCourse:
    facts = line.facts
    low, high = (int(facts[name]) if facts.get(name) else None for name in ("grade_low", "grade_high"))
    told = Certified(low, high, facts.get("service", ""), facts.get("cert", ""))
    certified = told if facts.keys() & {"grade_low", "service", "cert"} else was.certified
    spent = was.spent + _sum(line, "fees")
    return replace(was, state="kept", spent=spent, reserve=None, note=line.note or was.note, certified=certified)


def _consigned(was: PieceCourse, line: Decision) -> PieceCourse:
    reserve, spent = _money(line.facts.get("reserve", "")), was.spent + _sum(line, "fees")
    return replace(was, state="consigned", reserve=reserve, spent=spent, note=line.note or was.note)


def _noted(was: PieceCourse, line: Decision) -> PieceCourse:
    return replace(was, note=line.note)


def _pictured(was: PieceCourse, line: Decision) -> PieceCourse:
    return replace(was, pictures=tuple(dict.fromkeys((*was.pictures, line.note))))


def _stored(was: PieceCourse, line: Decision) -> PieceCourse:
    return replace(was, place=line.note)


def _came_from(was: PieceCourse, line: Decision) -> PieceCourse:
    return replace(was, chain=(*was.chain, Link(line.note, line.facts.get("when", ""))))


PIECE: Mapping[str, Callable[[PieceCourse, Decision], PieceCourse]] = {
    "checked": _checked,
    "kept": _kept,
    "returned": _returned,
    "refunded": _refunded,
    "disputed": _disputed,
    "settled": _settled,
    "sold": _sold,
    "graded out": _sent,
    "graded back": _back,
    "consigned": _consigned,
    "consigned back": _back,
    "noted": _noted,
    "pictured": _pictured,
    "came from": _came_from,
    "stored": _stored,
}
"""What each word does to a piece; those of grading and consigning may add to what was spent on it."""
