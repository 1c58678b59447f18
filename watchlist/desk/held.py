"""The pieces that a person holds or held: what each cost, what it is worth today, where it came from."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal

from watchlist.core.held.account import piece_cost, shares
from watchlist.core.held.course import ParcelCourse, PieceCourse
from watchlist.core.marks.valuation import Piece
from watchlist.core.money.amount import Money
from watchlist.core.prices.record import Band
from watchlist.desk import courses
from watchlist.desk.courses import Won
from watchlist.desk.desk import Desk
from watchlist.desk.hands import hammered, sent_by
from watchlist.page.piece import piece as piece_words

Basis = str
"""What a cost rests on: `paid`, `invoiced`, `calculated`, `not known`."""


@dataclass(frozen=True, slots=True)
class Held:
    """One piece. Amounts are in home currency."""

    won: Won
    stock_no: str
    coin: str
    """As it was read, with its grade."""
    issue: str
    course: PieceCourse
    parcel: ParcelCourse | None
    share: Decimal
    """Of what was paid for its parcel, or of what it is calculated to cost."""
    basis: Decimal
    """What it cost, with what was spent on it since."""
    lost: Decimal
    """On a piece that went back."""
    cost_basis: Basis
    value: Band | None
    """What such a piece is worth today."""
    duplicates: int
    """How many more pieces of its issue are held."""

    @property
    def key(self) -> str:
        """The lot it was bought as."""
        return self.won.key

    @property
    def state(self) -> str:
        """What became of it, or how far its parcel is."""
        if self.course.state != "won" or self.parcel is None:
            return self.course.state
        return self.parcel.state if self.parcel.state != "open" else "won"

    @property
    def doubtful(self) -> bool:
        """It was bought in spite of a doubt."""
        return self.won.judged is not None and self.won.judged.mark == "doubt"

    @property
    def today(self) -> Decimal | None:
        """The median of its value."""
        return self.value.mid if self.value else None

    @property
    def gain(self) -> Decimal | None:
        """Over its cost: of what it sold for less fees, else of its value today."""
        if self.course.sold is not None:
            return self.course.sold.amount - self.course.fees - self.basis
        return None if self.today is None or self.course.gone else self.today - self.basis


def held(desk: Desk) -> tuple[Held, ...]:
    """All pieces won, in the order in which they were; those that went back or were sold too."""
    known, won = courses.told(desk), list(courses.wins(desk))
    parcels = courses.closed(known)
    parts = _shares(desk, won, parcels)
    here = Counter(_issue(each) for each in won if not known.piece(each.key).gone)
    return tuple(_held(desk, each, known.piece(each.key), parcels.get(each.key), parts[each.key], here) for each in won)


def _issue(won: Won) -> str:
    return (won.judged.issue or "") if won.judged else ""


def _held(
    desk: Desk,
    won: Won,
    course: PieceCourse,
    parcel: ParcelCourse | None,
    part: tuple[Decimal, Basis],
    here: Mapping[str, int],
) -> Held:
    share, basis = part
    cost, issue = piece_cost(share, course), _issue(won)
    judged, found = won.judged, desk.catalogue.by_key.get(issue)
    low, high = (judged.grade_low, judged.grade_high) if judged else (None, None)
    coin = piece_words(found, won.lot.title, low, high)
    others = here[issue] - (not course.gone) if issue else 0
    return Held(
        won, won.stock_no, coin, issue, course, parcel, share, cost.basis, cost.lost, basis,
        _value(desk, won), others,
    )  # fmt: skip


def _value(desk: Desk, won: Won) -> Band | None:
    judged = won.judged
    issue = desk.catalogue.by_key.get(_issue(won))
    if judged is None or issue is None or judged.grade_low is None:
        return None
    reading = won.row.reading if won.row else None
    raw, problems = (not reading.certified, reading.problems) if reading else (True, ())
    high = judged.grade_high if judged.grade_high is not None else judged.grade_low
    return desk.market.value(Piece(issue, judged.grade_low, high, raw, problems, worded=judged.grade_low != high))


def _shares(desk: Desk, won: Sequence[Won], parcels: Mapping[str, ParcelCourse]) -> dict[str, tuple[Decimal, Basis]]:
    """Each piece's part of what was paid for its parcel, before that of its invoice; else what it was calculated at."""
    bought = {
        each.lot: each.paid.amount for each in desk.shelf.store.purchases.all() if each.paid.currency == desk.home
    }
    found = {
        each.key: (bought[each.key], "calculated") if each.key in bought else (Decimal(0), "not known") for each in won
    }
    for course in {course.id: course for course in parcels.values()}.values():
        pieces = [each for each in won if each.key in course.lots and each.line.amount is not None]
        whole = _whole(desk, course)
        if pieces and whole is not None:
            found |= _told(desk, course, pieces, *whole)
    return found


def _whole(desk: Desk, course: ParcelCourse) -> tuple[Decimal, Basis] | None:
    """What a parcel cost: what was paid, and what is still owed of its invoice at today's rate."""
    owed = course.owed
    if owed is None:
        return (course.paid, "paid") if course.payments else None
    fx = desk.rates.to_home_factor(owed.currency, desk.now.date())
    return None if fx is None else (course.paid + round(owed.amount * fx, 2), "invoiced")


def _told(
    desk: Desk, course: ParcelCourse, pieces: Sequence[Won], whole: Decimal, basis: Basis
) -> dict[str, tuple[Decimal, Basis]]:
    first = pieces[0].line.amount
    sent = sent_by(desk, pieces[0].lot.venue, first.currency) if first else None
    if sent is None:
        return {}
    lots = [hammered(desk, each.lot, each.line.amount) for each in pieces if each.line.amount]
    parts = shares(course, sent.terms, lots, sent.money, max(whole, Decimal(0)))
    return {each.key: (part, basis) for each, part in zip(pieces, parts, strict=True)}


def sums(pieces: Iterable[Held], home: str) -> tuple[Money, Money]:
    """What the pieces held cost, and what they are worth today; those without a band at their cost."""
    here = [each for each in pieces if not each.course.gone]
    cost = sum((each.basis for each in here), Decimal(0))
    worth = sum((each.today if each.today is not None else each.basis for each in here), Decimal(0))
    return Money(cost, home), Money(worth, home)
