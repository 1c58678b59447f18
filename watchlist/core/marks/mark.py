"""One mark a lot, always with its reasons."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal

from watchlist.core.coins.finishes import with_grade
from watchlist.core.coins.issue import Issue
from watchlist.core.coins.matching import Match
from watchlist.core.fees.terms import Terms
from watchlist.core.lots.record import Lot
from watchlist.core.marks import doubts, reasons
from watchlist.core.marks.assumed import assumed_terms
from watchlist.core.marks.calls import Call, call
from watchlist.core.marks.case import FINAL, Case, Worth, closes_soon, compared, not_yet
from watchlist.core.marks.context import Context
from watchlist.core.marks.doubts import Evidence
from watchlist.core.marks.pricesign import worth_it
from watchlist.core.marks.record import SIGNS, Judgement, Mark, NearWant, Reason, Want
from watchlist.core.marks.strikes import set_apart
from watchlist.core.marks.valuation import (
    Piece,
    Priced,
    band_parts,
    ceiling_of,
    gap,
    is_open,
    limit_at,
    no_limit,
    own_band,
    price_lot,
)
from watchlist.core.marks.wants import answer
from watchlist.core.money.amount import Money
from watchlist.core.reading.record import Reading

__all__ = ["SIGNS", "Context", "Judgement", "Mark", "NearWant", "Reason", "judge"]


def judge(lot: Lot, reading: Reading, context: Context) -> Judgement:
    """The one mark of a lot with its reasons. Never raises for what a title or feed holds.

    Mark and gap compare the cost with what the piece is worth; the price band beside it says what such a piece may
    sell for. An open auction is judged at the current bid: Over and Above ceiling are true at any time, for bids only
    rise; Bargain and Low are said only where it closes before the next usual gather; before that the lot is In range
    (early) with its room. An estimate makes Over or In range, never a Bargain. Without any price the lot is Unclear."""
    reading = with_grade(reading)
    match = set_apart(reading, context.catalogue.match(reading), context.catalogue)
    wants, near = answer(reading, match, context.wants)
    case = _case(lot, reading, match, wants, context)
    found = call(case, context)
    limit = _limit(case, context)
    return Judgement(
        issue=match.issue.key if match.issue else None,
        candidates=tuple(issue.key for issue in match.candidates) if len(match.candidates) > 1 else (),
        wants=tuple(want.id for want in wants),
        near_wants=near,
        grade_low=reading.grade_low,
        grade_high=reading.grade_high,
        band=case.worth.band,
        all_in=case.priced.all_in,
        cost_lines=case.priced.lines,
        gap=gap(compared(case.priced, case.worth), case.value),
        ceiling=case.ceiling[0] if case.ceiling else None,
        ceiling_want=case.ceiling[1].id if case.ceiling else None,
        bid_limit=limit,
        doubt=case.doubt,
        mark=found.mark,
        also=found.also,
        so_far=lot.price_kind == "so far",
        reasons=_reasons(case, found, limit, context),
        chance_worth_it=_chance(case),
        value=case.value,
        beyond=_beyond(reading, context) if case.value is not None else (),
    )


def _case(lot: Lot, reading: Reading, match: Match, wants: tuple[Want, ...], context: Context) -> Case:
    terms = context.terms.get(lot.venue)
    priced = _priced(lot, terms, context)
    worth = _worth(piece_of(lot, reading, match.issue, context), wants, context)
    evidence = _evidence(lot, reading, match, priced, worth, context)
    doubt = doubts.judge(lot, reading, match, evidence, context.signs, context.specs)
    ceiling = ceiling_of(wants, context.rates, context.now.date())
    last_word = not_yet(lot, context.now, context.every, context.gathered(lot.source))
    chance = None
    if (held := compared(priced, worth)) is not None and worth.parts:
        chance = worth_it(float(held.amount), worth.parts, float(context.bargain_at))
    return Case(lot, reading, match, wants, priced, worth, ceiling, doubt, last_word, chance)


def _priced(lot: Lot, terms: Terms | None, context: Context) -> Priced:
    """The cost by the venue's terms; without them by those that the person's settings assume of its kind."""
    if terms is None and context.assumed is not None:
        made = assumed_terms(lot, context.assumed, context.rates, context.now.date())
        return price_lot(lot, made, context.rates, context.now, assumed=made is not None)
    return price_lot(lot, terms, context.rates, context.now)


def piece_of(lot: Lot, reading: Reading, issue: Issue | None, context: Context) -> Piece | None:
    """What the market is asked about a lot; None without an issue or a grade."""
    terms = context.terms.get(lot.venue)
    if issue is None or reading.grade_low is None or reading.grade_high is None:
        return None
    return Piece(
        issue,
        reading.grade_low,
        reading.grade_high,
        not reading.certified,
        reading.problems,
        terms.kind if terms else "",
        _worded(reading),
        context.traits.of(reading) if context.traits is not None else (),
        context.short(lot) if not reading.certified else None,
    )


def _worded(reading: Reading) -> bool:
    """The grade is a word of the seller's, or a range, and no number."""
    return reading.grade_low != reading.grade_high or not any(map(str.isdigit, reading.grade_text or "0"))


def _worth(piece: Piece | None, wants: Sequence[Want], context: Context) -> Worth:
    """What the market says; where it says nothing, or too little to judge by, the person's own band."""
    market = context.market
    if piece is None:
        found = Worth()
    else:
        usual = market.series_middle(piece)
        found = Worth(market.band(piece), *market.worth(piece), float(usual) if usual is not None else None)
    if found.value is not None and Decimal(found.value.ratio) <= context.max_ratio:
        return found
    own = own_band(wants, context.rates, context.now.date(), context.kind)
    return Worth(own, own, band_parts(own), found.usual) if own is not None else found


def _evidence(lot: Lot, reading: Reading, match: Match, priced: Priced, worth: Worth, context: Context) -> Evidence:
    terms = context.terms.get(lot.venue)
    said = lot.price_kind in FINAL or (lot.price_kind == "so far" and closes_soon(lot, context.now))
    number, held = reading.cert_number, compared(priced, worth)
    return Evidence(
        parts=worth.parts,
        cost=float(held.amount) if said and held is not None else None,
        middle=float(worth.value.mid) if worth.value else None,
        series_middle=worth.usual,
        certs=context.certs(number, reading.service or "", lot.key) if number else (),
        notes_copies=match.issue is not None and context.catalogue.notes_copies(match.issue),
        same_issue=context.same_issue(lot, match.issue) if match.issue and lot.seller else 0,
        venue_kind=terms.kind if terms else "",
        learned=context.learned(lot, match.issue) if match.issue else 0.0,
        dismissed=context.dismissed(lot.key),
    )


def _limit(case: Case, context: Context) -> Money | None:
    """The bid limit of an auction lot; a fixed price has none."""
    if case.ceiling is None or case.lot.price_kind in FINAL:
        return None
    found = limit_at(context.terms.get(case.lot.venue), case.ceiling[0], context.rates, context.now.date())
    return found.limit if found else None


def _chance(case: Case) -> float | None:
    """Nothing is said of a copy, nor before the price is one to act on."""
    if case.chance is None or case.doubt.copy or case.last_word:
        return None
    return round(case.chance, 3)


def _reasons(case: Case, found: Call, limit: Money | None, context: Context) -> tuple[Reason, ...]:
    """The figures in one sentence, then what decided, then the signs."""
    lot, today, why = case.lot, context.now.date(), found.why
    told = [Reason(figures)] if (figures := _figures(case, context)) else []
    told += [Reason(why)] if why else []
    if (chance := _chance(case)) is not None and found.mark in ("bargain", "low"):
        told.append(Reason(reasons.chance_sentence(chance, case.compared, context.bargain_at, context.rates.home)))
    if case.ceiling is not None and is_open(lot, context.now):
        ceiling, want = case.ceiling
        missing = no_limit(lot, context.terms.get(lot.venue), context.rates, today)
        told.append(Reason(reasons.room_sentence(limit, lot.price, ceiling, want.id, missing=missing)))
    if case.match.why and case.match.why != why and not case.match.never_struck:
        told.append(Reason(case.match.why))
    least = context.signs["strength.moderate"] if case.doubt.level == "none" else 0.0
    signs = [*(sign for sign in case.doubt.signs if sign.weight >= least), *case.doubt.dismissed]
    told += [Reason(sign.text, sign.strength, sign.group, sign.could_be, sign.dismissed) for sign in signs]
    return tuple(told) or (Reason("Nothing could be identified about this lot."),)


def _beyond(reading: Reading, context: Context) -> tuple[str, ...]:
    """What moves the value of a piece beside its grade, in words: faults, then traits."""
    traits = context.traits.of(reading) if context.traits is not None else ()
    return (*map(reasons.problem_words, reading.problems), *traits)


def _figures(case: Case, context: Context) -> str:
    """Cost, what the piece is worth, what one sale may bring, and how the cost stands to the value."""
    said: list[str] = []
    if case.priced.all_in is not None:
        kind = case.lot.price_kind
        said.append(
            reasons.cost_sentence(
                case.priced.all_in, so_far=kind == "so far", estimate=kind == "estimate", note=case.priced.note
            )
        )
    if case.value is not None:
        reading = case.reading
        low, high, raw = reading.grade_low, reading.grade_high, not reading.certified
        piece = reasons.piece_words(low, high, raw=raw, beyond=_beyond(reading, context))
        said.append(reasons.value_sentence(case.value, case.worth.band, piece, context.now.date()))
    held = compared(case.priced, case.worth)
    if (stands := gap(held, case.value)) is not None:
        before = held if held != case.priced.all_in else None
        said.append(reasons.gap_sentence(stands, before))
    return " ".join(said)
