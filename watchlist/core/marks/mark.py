"""One mark a lot, always with its reasons."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from watchlist.core.coins.matching import SURE, Match
from watchlist.core.fees.terms import Terms
from watchlist.core.lots.record import Lot
from watchlist.core.marks import doubts, reasons
from watchlist.core.marks.clarity import few_sales, unclear
from watchlist.core.marks.context import Context
from watchlist.core.marks.doubts import Evidence
from watchlist.core.marks.pricesign import Part, worth_it
from watchlist.core.marks.record import SIGNS, Doubt, Judgement, Mark, NearWant, Reason, Want
from watchlist.core.marks.strikes import set_apart
from watchlist.core.marks.valuation import (
    Piece,
    Priced,
    band_parts,
    ceiling_of,
    closes_soon,
    gap,
    is_open,
    limit_at,
    no_limit,
    own_band,
    price_lot,
)
from watchlist.core.marks.wants import answer
from watchlist.core.money.amount import Money
from watchlist.core.prices.record import Band
from watchlist.core.reading.record import Reading

__all__ = ["SIGNS", "Context", "Judgement", "Mark", "NearWant", "Reason", "judge"]


@dataclass(frozen=True, slots=True)
class _Worth:
    """What the market says of a piece."""

    parts: Sequence[Part]
    """Its fair-value distribution."""
    band: Band | None
    usual: float | None
    """The middle of its series in its grade."""


@dataclass(frozen=True, slots=True)
class _Case:
    """One lot with all that its mark rests on."""

    lot: Lot
    reading: Reading
    match: Match
    wants: tuple[Want, ...]
    priced: Priced
    band: Band | None
    parts: Sequence[Part]
    ceiling: tuple[Money, Want] | None
    doubt: Doubt
    cheap: bool
    """The price alone would make a Bargain."""

    @property
    def cost(self) -> Decimal | None:
        """All-in cost in home currency."""
        return self.priced.all_in.amount if self.priced.all_in else None


def judge(lot: Lot, reading: Reading, context: Context) -> Judgement:
    """The one mark of a lot with its reasons. Never raises for what a title or feed holds.

    An open auction is judged at the bid so far: Over is true at any time, for bids only rise; Bargain is said only in
    the last 12 hours and says "so far"; before that the lot is In range with its room, meaning: not over yet. An
    estimate makes Over or In range, never a Bargain. Without any price the lot is Unclear."""
    match = set_apart(reading, context.catalogue.match(reading), context.catalogue)
    wants, near = answer(reading, match, context.wants)
    case = _case(lot, reading, match, wants, context)
    mark, why = _mark(case, context)
    limit = _limit(case, context)
    return Judgement(
        issue=match.issue.key if match.issue else None,
        candidates=tuple(issue.key for issue in match.candidates) if len(match.candidates) > 1 else (),
        wants=tuple(want.id for want in wants),
        near_wants=near,
        grade_low=reading.grade_low,
        grade_high=reading.grade_high,
        band=case.band,
        all_in=case.priced.all_in,
        cost_lines=case.priced.lines,
        gap=gap(case.priced.all_in, case.band),
        ceiling=case.ceiling[0] if case.ceiling else None,
        ceiling_want=case.ceiling[1].id if case.ceiling else None,
        bid_limit=limit,
        doubt=case.doubt,
        mark=mark,
        also=("bargain",) if mark == "doubt" and case.cheap else (),
        so_far=lot.price_kind == "so far",
        reasons=_reasons(case, why, limit, context),
        chance_worth_it=_chance(case, context),
    )


def _case(lot: Lot, reading: Reading, match: Match, wants: tuple[Want, ...], context: Context) -> _Case:
    terms = context.terms.get(lot.venue)
    priced = price_lot(lot, terms, context.rates, context.now)
    piece = _piece(reading, match, terms)
    band, parts = _band(piece, wants, context)
    usual = context.market.series_middle(piece) if piece else None
    worth = _Worth(parts, band, float(usual) if usual else None)
    evidence = _evidence(lot, reading, match, priced, worth, context)
    doubt = doubts.judge(lot, reading, match, evidence, context.signs, context.specs)
    ceiling = ceiling_of(wants, context.rates, context.now.date())
    cheap = _cheap(lot, priced, band, context)
    return _Case(lot, reading, match, wants, priced, band, parts, ceiling, doubt, cheap)


def _piece(reading: Reading, match: Match, terms: Terms | None) -> Piece | None:
    if match.issue is None or reading.grade_low is None or reading.grade_high is None:
        return None
    kind = terms.kind if terms else ""
    return Piece(match.issue, reading.grade_low, reading.grade_high, not reading.certified, reading.problems, kind)


def _band(piece: Piece | None, wants: Sequence[Want], context: Context) -> tuple[Band | None, Sequence[Part]]:
    """The market's band; where there is none, or too wide a one, the person's own."""
    band = context.market.band(piece) if piece else None
    if band is not None and Decimal(band.ratio) <= context.max_ratio:
        return band, context.market.parts(piece) if piece else ()
    own = own_band(wants, context.rates, context.now.date(), context.kind)
    if own is not None:
        return own, band_parts(own)
    return band, context.market.parts(piece) if band and piece else ()


def _evidence(lot: Lot, reading: Reading, match: Match, priced: Priced, worth: _Worth, context: Context) -> Evidence:
    terms = context.terms.get(lot.venue)
    final = lot.price_kind in ("fixed", "ended") and priced.all_in is not None
    number = reading.cert_number
    return Evidence(
        parts=worth.parts,
        cost=float(priced.all_in.amount) if final and priced.all_in else None,
        middle=float(worth.band.mid) if worth.band else None,
        series_middle=worth.usual,
        certs=context.certs(number, reading.service or "", lot.key) if number else (),
        same_issue=context.same_issue(lot, match.issue) if match.issue and lot.seller else 0,
        venue_kind=terms.kind if terms else "",
        learned=context.learned(lot, match.issue) if match.issue else 0.0,
        dismissed=context.dismissed(lot.key),
    )


def _cheap(lot: Lot, priced: Priced, band: Band | None, context: Context) -> bool:
    """The price side of the bargain rule: a final price, or the bid so far in the last 12 hours, under the band."""
    said = lot.price_kind in ("fixed", "ended") or (lot.price_kind == "so far" and closes_soon(lot, context.now))
    if not said or priced.all_in is None or band is None:
        return False
    cost = priced.all_in.amount
    return cost <= context.bargain_at * band.mid and cost < band.low


def _mark(case: _Case, context: Context) -> tuple[Mark, str]:
    """The mark by rank, and what decided it where the figures alone do not say it."""
    if case.doubt.copy:
        return "copy", "The title or description says that this is a copy."
    if case.doubt.level in ("caution", "strong"):
        return "doubt", ""
    if why := unclear(case.reading, case.match, case.band, context.catalogue.words):
        return "unclear", why
    if why := few_sales(case.band, case.match, context.max_ratio):
        return "few sales", why
    if case.cost is None or case.band is None:
        return "unclear", f"Its price cannot be compared: {case.priced.note}."
    if case.cheap:
        blocked = _blocked(case)
        return ("in range", blocked) if blocked else ("bargain", _over_ceiling(case))
    if case.cost > case.band.high:
        return "over", f"Above the high edge of {reasons.figure(case.band.high)}."
    if why := _over_ceiling(case):
        return "over", why
    return "in range", _still_open(case, context) if case.cost < case.band.low else ""


def _still_open(case: _Case, context: Context) -> str:
    """Why a bid so far under the band makes no Bargain; empty for a final price."""
    if case.lot.price_kind != "so far":
        return ""
    if case.lot.closes is not None and case.lot.closes < context.now:
        return "The auction is over; the price it fell for is not known yet."
    return "Bids will still rise: more than 12 hours are left, or the closing time is unknown."


def _blocked(case: _Case) -> str:
    """Why a cheap lot is no Bargain; empty when it is one."""
    issue = case.match.issue
    if case.lot.price_kind == "so far" and issue is not None and issue.copied and not case.reading.certified:
        return "Cheap so far on an issue that is often copied: a warning first; the last price will say more."
    if case.doubt.level != "none":
        return "Cheap enough for a Bargain, but signs were seen; look at them first."
    if case.reading.unsure:
        return f"Cheap enough for a Bargain, but not sure: {', '.join(case.reading.unsure)}."
    if case.reading.confidence < SURE:
        return "Cheap enough for a Bargain, but the title reads poorly."
    return ""


def _over_ceiling(case: _Case) -> str:
    if case.ceiling is None or case.cost is None or case.cost <= case.ceiling[0].amount:
        return ""
    return f"Above your ceiling of {case.ceiling[0]} ({case.ceiling[1].id})."


def _limit(case: _Case, context: Context) -> Money | None:
    """The bid limit of an auction lot; a fixed price has none."""
    if case.ceiling is None or case.lot.price_kind in ("fixed", "ended"):
        return None
    found = limit_at(context.terms.get(case.lot.venue), case.ceiling[0], context.rates, context.now.date())
    return found.limit if found else None


def _chance(case: _Case, context: Context) -> float | None:
    if case.cost is None or not case.parts or case.doubt.copy or is_open(case.lot, context.now):
        return None
    return round(worth_it(float(case.cost), case.parts, float(context.bargain_at)) * (1 - case.doubt.p_fake), 3)


def _reasons(case: _Case, why: str, limit: Money | None, context: Context) -> tuple[Reason, ...]:
    """The figures in one sentence, then what decided, then the signs."""
    lot, reading, today = case.lot, case.reading, context.now.date()
    figures: list[str] = []
    if case.priced.all_in is not None:
        kind = lot.price_kind
        figures.append(
            reasons.cost_sentence(
                case.priced.all_in, so_far=kind == "so far", estimate=kind == "estimate", note=case.priced.note
            )
        )
    if case.band is not None:
        figures.append(reasons.band_sentence(case.band, reading.grade_low, reading.grade_high, today))
    if (stands := gap(case.priced.all_in, case.band)) is not None:
        figures.append(reasons.gap_sentence(stands))
    found = [Reason(" ".join(figures))] if figures else []
    found += [Reason(why)] if why else []
    if case.ceiling is not None and is_open(lot, context.now):
        ceiling, want = case.ceiling
        missing = no_limit(lot, context.terms.get(lot.venue), context.rates, today)
        found.append(Reason(reasons.room_sentence(limit, lot.price, ceiling, want.id, missing=missing)))
    if case.match.why and case.match.why != why and not case.match.never_struck:
        found.append(Reason(case.match.why))
    least = context.signs["strength.moderate"] if case.doubt.level == "none" else 0.0
    found += [
        Reason(sign.text, sign.strength, sign.group, sign.could_be) for sign in case.doubt.signs if sign.weight >= least
    ]
    found += [
        Reason(sign.text, sign.strength, sign.group, sign.could_be, sign.dismissed) for sign in case.doubt.dismissed
    ]
    return tuple(found) or (Reason("Nothing could be told about this lot."),)
