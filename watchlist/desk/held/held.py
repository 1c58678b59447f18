"""The pieces that a person holds or held: what each cost, what it is worth today, where it came from."""

from __future__ import annotations

from collections import Counter
from collections.abc import Container, Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from decimal import Decimal
from pathlib import Path

from watchlist.core.decisions.review import OWN
from watchlist.core.fees.terms import Terms
from watchlist.core.held.account import cost_lines as account_lines
from watchlist.core.held.account import piece_cost, shares
from watchlist.core.held.course import ParcelCourse, PieceCourse
from watchlist.core.held.piece import Basis, Beside, Piece, Won
from watchlist.core.marks.mark import piece_of
from watchlist.core.marks.valuation import price_at
from watchlist.core.money.amount import Money
from watchlist.core.parcels.costs import parcel_amount
from watchlist.core.parcels.grouping import Parcel
from watchlist.core.prices.record import Band
from watchlist.core.reading.record import Reading
from watchlist.desk.desk import Desk
from watchlist.desk.in_hand import courses
from watchlist.desk.in_hand.hands import hammered, hands, sent_by
from watchlist.desk.judging.judging import Judge
from watchlist.page.piece import piece as piece_words


def held(desk: Desk, keys: Container[str] | None = None) -> tuple[Piece, ...]:
    """All pieces won or had from before, in the order in which they were; those that went back or were sold too.

    `keys`: only these, whole parcels; duplicates are then counted among them alone."""
    known, won = courses.told(desk), list(courses.wins(desk, keys))
    parcels = courses.closed(known)
    parts = _shares(desk, won, parcels)
    here = Counter(_issue(each) for each in won if not known.piece(each.key).gone)
    worth = _Worth(desk)
    return tuple(
        _held(desk, each, known.piece(each.key), parcels.get(each.key), parts[each.key], here, worth) for each in won
    )


def piece_of_lot(desk: Desk, lot: str) -> Piece | None:
    """The piece that was bought as this lot, looked up with its parcel alone; None where it was not won."""
    closed = courses.closed(courses.told(desk)).get(lot)
    parcels = hands(desk).parcels.values() if closed is None else ()
    open_ones = next(({each.key for each in one.lots} for one in parcels if any(e.key == lot for e in one.lots)), {lot})
    return next((each for each in held(desk, closed.lots if closed else open_ones) if each.key == lot), None)


def _held(
    desk: Desk,
    won: Won,
    course: PieceCourse,
    parcel: ParcelCourse | None,
    part: tuple[Decimal, Basis],
    here: Mapping[str, int],
    worth: _Worth,
) -> Piece:
    share, basis = part
    cost, issue, reading = piece_cost(share, course), _issue(won), reading_of(won, course)
    others = here[issue] - (not course.gone) if issue else 0
    return Piece(
        won,
        won.stock_no,
        _coin(desk, won, reading),
        issue,
        course,
        parcel,
        share,
        cost.basis,
        cost.lost,
        basis,
        worth.of(won, reading),
        others,
        reading,
    )


def reading_of(won: Won, course: PieceCourse) -> Reading:
    """What the piece is: as its lot was read, in the grade it was judged by, and as a grading service gave it back."""
    told, judged, service = won.reading, won.judged, course.certified
    if judged is not None:
        told = replace(told, grade_low=judged.grade_low, grade_high=judged.grade_high or judged.grade_low)
    if service is None:
        return told
    if service.low is not None:
        told = replace(told, grade_low=service.low, grade_high=service.high)
    told = replace(told, certified=True, service=service.service or told.service)
    return replace(told, cert_number=service.number or told.cert_number)


def _issue(won: Won) -> str:
    return (won.judged.issue or "") if won.judged else ""


def _coin(desk: Desk, won: Won, reading: Reading) -> str:
    issue = desk.catalogue.by_key.get(_issue(won))
    return piece_words(issue, won.lot.title, reading.grade_low, reading.grade_high, details=reading.details)


class _Worth:
    """What pieces are worth today: as marks ask the market, with problems, traits and the kind of the venue."""

    def __init__(self, desk: Desk) -> None:
        self._desk, self._context = desk, Judge(desk).context

    def of(self, won: Won, reading: Reading) -> Band | None:
        issue = self._desk.catalogue.by_key.get(_issue(won))
        asked = piece_of(won.lot, reading, issue, self._context)
        return self._desk.market.value(asked) if asked else None


def _shares(desk: Desk, won: Sequence[Won], parcels: Mapping[str, ParcelCourse]) -> dict[str, tuple[Decimal, Basis]]:
    """Each piece's part of what was paid for its parcel, before that of its invoice; else what it was calculated at."""
    bought = {
        each.lot: each.paid.amount for each in desk.shelf.store.purchases.all() if each.paid.currency == desk.home
    }
    found = {each.key: _single(desk, each, bought.get(each.key)) for each in won}
    together: dict[str, list[Won]] = {}
    for each in won:
        if each.key in parcels and each.line.amount is not None:
            together.setdefault(parcels[each.key].id, []).append(each)
    for pieces in together.values():
        course = parcels[pieces[0].key]
        whole = courses.cost(desk, course)
        if whole is not None:
            found |= _told(desk, course, pieces, *whole)
    return found | _open_parcels(desk, won, found)


def _open_parcels(
    desk: Desk, won: Sequence[Won], found: Mapping[str, tuple[Decimal, Basis]]
) -> dict[str, tuple[Decimal, Basis]]:
    """Pieces won that will come together and have no invoice yet: their parts of what the parcel is calculated at."""
    of = {each.key: each for each in won if found[each.key][1] == "calculated"}
    parcels = hands(desk).parcels.values() if of else ()
    made: dict[str, tuple[Decimal, Basis]] = {}
    for parcel in parcels:
        pieces = [of[lot.key] for lot in parcel.lots if lot.won and lot.key in of]
        told = sum(lot.won and lot.key in found for lot in parcel.lots)
        if len(pieces) > 1 and len(pieces) == told and not parcel.assumed:
            made |= _calculated(desk, parcel, pieces)
    return made


def _calculated(desk: Desk, parcel: Parcel, pieces: Sequence[Won]) -> dict[str, tuple[Decimal, Basis]]:
    sent = sent_by(desk, parcel.venue, parcel.lots[0].currency)
    if sent is None:
        return {}
    lots = [hammered(desk, each.lot, each.line.amount) for each in pieces if each.line.amount]
    return _told(desk, ParcelCourse(""), pieces, parcel_amount(sent.terms, lots, sent.money), "calculated")


def _single(desk: Desk, won: Won, bought: Decimal | None) -> tuple[Decimal, Basis]:
    """What a piece cost by itself: as calculated when it was won, or as stated of one from before."""
    price, day = won.line.amount, won.line.day or desk.local_today()
    if bought is not None or price is None:
        return (Decimal(0), "not known") if bought is None else (bought, "calculated")
    own = won.line.target == OWN
    cost = (
        desk.rates.convert(price, day)
        if own
        else price_at(price, won.lot.venue, desk.terms.get(won.lot.venue), desk.rates, won.day).all_in
    )
    if cost is None:
        return Decimal(0), "not known"
    return cost.amount, "stated" if own else "calculated"


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


def cost_lines(desk: Desk, pieces: Sequence[Piece]) -> dict[str, dict[str, Decimal]]:
    """By lot: what its share of the cost holds, line by line at the rate of the day it was won; pieces from before, and
    those of unknown cost, have no lines. `pieces`: all, for a parcel is told to all its pieces."""
    parcels: dict[str, list[Piece]] = {}
    for each in sorted(pieces, key=lambda each: each.won.number):  # cents fall in the order in which shares are told
        if each.hammer is not None and each.cost is not None:
            parcels.setdefault(each.parcel.id if each.parcel else each.key, []).append(each)
    return {key: lines for together in parcels.values() for key, lines in _lines_of(desk, together)}


def _lines_of(desk: Desk, together: Sequence[Piece]) -> Iterator[tuple[str, dict[str, Decimal]]]:
    first = together[0]
    assert first.hammer is not None, "only pieces won by a bid have lines"
    terms = desk.terms.get(first.won.lot.venue) or Terms(first.won.lot.venue or "no venue", first.hammer.currency)
    factor = desk.rates.to_home_factor(terms.currency, first.won.day)
    if factor is None:
        return
    lots = [hammered(desk, each.won.lot, each.hammer) for each in together if each.hammer]
    course = first.parcel or ParcelCourse("")
    found = account_lines(course, terms, lots, factor, [each.share for each in together])
    yield from zip((each.key for each in together), found, strict=True)


def beside(each: Piece, pieces: Iterable[Piece], lines: Mapping[str, Mapping[str, Decimal]]) -> Beside:
    """What is told beside a piece. `pieces`: all; `lines`: what each cost line by line, as `cost_lines` has it."""
    same = (other for other in pieces if each.issue and other.issue == each.issue and other.key != each.key)
    alike = tuple(other for other in same if not other.course.gone)
    missing = frozenset(path for path in each.course.pictures if not Path(path).expanduser().is_file())
    return Beside(lines.get(each.key, {}), alike, missing)


def notes(desk: Desk, pieces: Iterable[Piece]) -> Iterator[str]:
    """What is odd about pieces, a sentence each: one certificate number twice, no value, no rate."""
    certified: dict[tuple[str, str], list[str]] = {}
    for each in pieces:
        reading, price = each.reading, each.won.line.amount
        if reading.cert_number and not each.course.gone:
            certified.setdefault((reading.service or "", reading.cert_number), []).append(each.stock_no)
        if price is not None and desk.rates.to_home_factor(price.currency, each.bought or desk.now.date()) is None:
            rate = f"no rate {price.currency} to {desk.home} near {each.bought or desk.now.date()}"
            yield f"{each.stock_no}: {rate}, so in no sum: import rates"
        elif each.today is None and not each.course.gone and each.cost_basis != "not known":
            yield f"{each.stock_no} has no band: its cost, {each.basis:,.2f}, stands for its value"
    for numbers in certified.values():
        if len(numbers) > 1:
            yield f"{' and '.join(numbers)} carry one certificate number"


def sums(pieces: Iterable[Piece], home: str) -> tuple[Money, Money]:
    """What the pieces held cost, and what they are worth today; those without a band at their cost."""
    here = [each for each in pieces if not each.course.gone]
    cost = sum((each.basis for each in here), Decimal(0))
    worth = sum((each.today if each.today is not None else each.basis for each in here), Decimal(0))
    return Money(cost, home), Money(worth, home)
