"""A made market laid before the program: archive fitted, lots judged, truth beside what was said."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, fields, replace
from datetime import timedelta
from decimal import Decimal
from math import isfinite, log
from typing import Any

from tests.bench.marks.market import NOW, TODAY, Offer, Past, Piece, World
from tests.core.orvany import SIGNS, TONGUES
from watchlist.core.coins.catalogue import Catalogue
from watchlist.core.coins.issue import Issue
from watchlist.core.fees.premiums import Premium
from watchlist.core.fees.terms import Terms
from watchlist.core.lots.record import Lot
from watchlist.core.marks.context import Context
from watchlist.core.marks.doubts import CertSeen
from watchlist.core.marks.mark import judge
from watchlist.core.marks.record import Judgement
from watchlist.core.marks.valuation import SavedMarket
from watchlist.core.marks.wants import WantIndex
from watchlist.core.money.amount import Money, Rates
from watchlist.core.prices.bands import MarketState
from watchlist.core.prices.realised import Sale
from watchlist.core.prices.traits import traits_from
from watchlist.core.reading.record import Reading
from watchlist.market import Measure, fit
from watchlist.words import load

PREMIUM, SHIPPING = Decimal(20), {"auction": Decimal(8), "marketplace": Decimal(5), "dealer": Decimal(5)}
TRAITS = traits_from(load("traits"))
DESIGNATIONS = ("colour", "prooflike", "cameo", "plus")


@dataclass(frozen=True)
class Told:
    """One lot and what the program makes of it."""

    offer: Offer
    found: Judgement

    @property
    def worth_it(self) -> bool:
        """Truly a bargain: right, and worth its cost with a fifth to spare."""
        return not self.offer.fake and self.offer.piece.worth >= self.offer.cost / 0.8

    @property
    def final(self) -> bool:
        """At a price that no bid will raise."""
        return self.offer.kind != "so far"


def terms_of(world: World, *, all_known: bool = False) -> dict[str, Terms]:
    """The venues' terms, those that are known."""
    return {
        name: Terms(
            name, "EUR", kind, Premium("flat", PREMIUM) if kind == "auction" else Premium(), shipping=SHIPPING[kind]
        )
        for name, (kind, known) in world.venues.items()
        if known or all_known
    }


def traits_known(kind: type, traits: Mapping[str, str], without: Sequence[str]) -> dict[str, Any]:
    """A piece's traits as the fields of a record that has such fields."""
    kept = {name: word for name, word in traits.items() if name not in without}
    here = {field.name for field in fields(kind)}
    found: dict[str, Any] = {name: kept[name] for name in ("strike", "date_state", "service") if name in kept}
    found["designations"] = tuple(kept[name] for name in DESIGNATIONS if name in kept)
    found["traits"] = tuple(sorted(f"{name.removesuffix('_state')}:{word}" for name, word in kept.items()))
    return {name: value for name, value in found.items() if name in here}


def sale_of(number: int, past: Past, without: Sequence[str] = ()) -> Sale | None:
    """A past sale as the fit takes it; None where nobody named its grade."""
    piece = past.piece
    if piece.told_low is None or piece.told_high is None:
        return None
    grade = (piece.told_low + piece.told_high) / 2
    problem = piece.problem if piece.told_problem else ""
    made = Sale(number, piece.issue.key, grade, past.price, past.day, piece.raw, problem, "auction")
    ends: dict[str, Any] = {"span": (piece.told_low, piece.told_high)} if piece.told_low != piece.told_high else {}
    return replace(made, **ends, **traits_known(Sale, piece.told_traits, without))


def reading_of(offer: Offer, without: Sequence[str] = ()) -> Reading:
    """What a title that says so is read as."""
    piece, issue = offer.piece, offer.piece.issue
    problems = (piece.problem,) if piece.problem and piece.told_problem else ()
    text = piece.told_word or (f"{piece.told_low}" if piece.told_low is not None else None)
    values: dict[str, Any] = {
        "country": issue.country,
        "denomination": issue.denomination,
        "year": issue.year,
        "mint": "Z" if offer.date_missing else issue.mint or None,
        "grade_low": piece.told_low,
        "grade_high": piece.told_high,
        "grade_text": text,
        "certified": not piece.raw,
        "service": "QCG" if not piece.raw else None,
        "cert_number": offer.number or None,
        "problems": (*problems, *(("details",) if problems and piece.details else ())),
        "confidence": 0.9,
    }
    return Reading(_title(piece, issue), **(values | traits_known(Reading, piece.told_traits, without)))


def _title(piece: Piece, issue: Issue) -> str:
    return f"{issue.denomination} {issue.date} {piece.told_word or piece.told_low or ''}".strip()


def lot_of(offer: Offer, terms: Mapping[str, Terms]) -> Lot:
    """The lot as its source tells it, at the price that gives its cost."""
    own = terms[offer.venue]
    part = 1 + float(PREMIUM) / 100 if own.kind == "auction" else 1.0
    price = max((offer.cost - float(own.shipping)) / part, 0.5)
    offer.cost = price * part + float(own.shipping)
    weight = round(offer.weight, 2) if offer.weight is not None else None
    return Lot(
        offer.key,
        "made",
        offer.key,
        offer.venue,
        _title(offer.piece, offer.piece.issue),
        offer.talk,
        seller=offer.seller,
        feedback=offer.ratings,
        price=Money(Decimal(f"{price:.2f}"), "EUR"),
        price_kind=offer.kind,  # type: ignore[arg-type]
        closes=NOW + timedelta(hours=offer.hours) if offer.hours is not None else None,
        weight_g=weight,
        weight_step_g=0.01 if weight is not None else None,
        first_seen=NOW,
        last_seen=NOW,
    )


def context_of(world: World, sales: Sequence[Sale]) -> Context:
    """Catalogue, fitted archive, terms, and what was seen elsewhere of numbers and sellers."""
    done = fit(world.issues, sales, [], Measure(TODAY, "all-in", "EUR", 5.0))
    seen: dict[str, list[tuple[str, CertSeen]]] = defaultdict(list)
    for number, past in enumerate(world.past):
        if past.number:
            grade = past.piece.told_low
            seen[past.number].append(("", CertSeen(f"sale {number}", past.piece.issue.key, grade, past.day)))
    held: dict[tuple[str, str], int] = defaultdict(int)
    for offer in world.offers:
        held[offer.seller, offer.piece.issue.key] += offer.kind != "ended"
        if offer.number:
            live = offer.kind != "ended"
            told = CertSeen(f"lot {offer.key}", offer.piece.issue.key, offer.piece.told_low, TODAY, live)
            seen[offer.number].append((offer.key, told))
    return Context(
        Catalogue(world.issues, TONGUES),
        WantIndex([], TONGUES),
        SavedMarket(MarketState(done.header, done.rows.get)),
        Rates("EUR", {}),
        SIGNS,
        NOW,
        terms_of(world),
        traits=TRAITS,
        certs=lambda number, _service, key: [each for where, each in seen[number] if where != key],
        same_issue=lambda lot, issue: max(held[lot.seller, issue.key] - 1, 0),
    )


def judged(world: World, without: Sequence[str] = (), **rules: Any) -> list[Told]:
    """All lots of a market with their marks. `without`: traits that nobody reads; `rules`: fields of the context."""
    sales = [made for n, past in enumerate(world.past) if (made := sale_of(n + 1, past, without)) is not None]
    context = replace(context_of(world, sales), **rules)
    terms = terms_of(world, all_known=True)
    return [Told(o, judge(lot_of(o, terms), reading_of(o, without), context)) for o in world.offers]


@dataclass(frozen=True)
class Figures:
    """How well marks hold; shares of 1."""

    held: float
    """Value bands that hold the true value."""
    ratio: float
    """Median high over low."""
    error: float
    """Median error of the middle, log."""
    bargain: tuple[float, float]
    """Right among those marked; marked among those that are (final prices)."""
    doubt: tuple[float, float]
    alarms: float
    """Honest lots marked Doubt, of 100."""
    marked: int
    """Bargains at final prices."""


def figures(told: Sequence[Told]) -> Figures:
    """The figures of some lots."""
    banded = [(each, band) for each in told if (band := value_of(each.found)) is not None and not each.offer.fake]
    banded = [(each, band) for each, band in banded if each.offer.piece.told_low is not None]
    held = [float(band.low) <= each.offer.piece.worth <= float(band.high) for each, band in banded]
    ratios = sorted(band.ratio for _, band in banded)
    errors = sorted(abs(log(each.offer.piece.worth / float(band.mid))) for each, band in banded)
    final = [each for each in told if each.final]
    marked = [each for each in final if each.found.mark == "bargain"]
    doubted = [each for each in told if each.found.mark == "doubt"]
    honest = sum(not each.offer.fake for each in told)
    return Figures(
        share(sum(held), len(held)),
        ratios[len(ratios) // 2] if ratios else float("nan"),
        errors[len(errors) // 2] if errors else float("nan"),
        (share(sum(e.worth_it for e in marked), len(marked)), share(_both(marked), sum(e.worth_it for e in final))),
        (
            share(sum(e.offer.fake for e in doubted), len(doubted)),
            share(sum(e.offer.fake for e in doubted), sum(e.offer.fake for e in told)),
        ),
        100 * share(sum(not e.offer.fake for e in doubted), honest),
        len(marked),
    )


def _both(marked: Sequence[Told]) -> int:
    return sum(each.worth_it for each in marked)


def value_of(found: Judgement) -> Any:
    """The band that the mark was made by."""
    return getattr(found, "value", None) or found.band


def share(part: float, whole: float) -> float:
    """A share; nan of nothing."""
    return part / whole if whole and isfinite(whole) else float("nan")
