"""Which mark a lot gets: the marks by rank, and what else holds beside the one that counts."""

from __future__ import annotations

from decimal import Decimal
from typing import NamedTuple

from watchlist.core.coins.matching import SURE
from watchlist.core.marks import reasons
from watchlist.core.marks.case import Case
from watchlist.core.marks.clarity import few_sales, unclear
from watchlist.core.marks.context import Context
from watchlist.core.marks.record import Mark


class Call(NamedTuple):
    """A mark, what decided it where the figures alone do not say it, and what else holds."""

    mark: Mark
    why: str = ""
    also: tuple[str, ...] = ()


def call(case: Case, context: Context) -> Call:
    """The mark by rank, with what else holds."""
    found = _first(case, context)
    return found._replace(also=(*found.also, *_beside(case, found.mark, context)))


def _first(case: Case, context: Context) -> Call:
    if case.doubt.copy:
        return Call("copy", "The title or description says that this is a copy.")
    if case.doubt.level in ("caution", "strong"):
        return Call("doubt")
    if why := unclear(case.reading, case.match, case.value, context.catalogue.words):
        return Call("unclear", why)
    if why := few_sales(case.value, case.match, context.max_ratio):
        return Call("few sales", why)
    if case.cost is None or case.compared is None or case.value is None:
        return Call("unclear", f"Its price cannot be compared: {case.priced.note}.")
    if not case.last_word:
        return _at_a_last_price(case, case.compared, context)
    return _over(case) or Call("in range", case.last_word if case.compared < case.value.low else "", ("early",))


def _at_a_last_price(case: Case, cost: Decimal, context: Context) -> Call:
    """Bargain, Low, Over, Above ceiling or In range, at a price that can be acted on."""
    assert case.value is not None
    hindered, kind = ("", "")
    if is_cheap(case, context):
        hindered, kind = _hindered(case, context)
        if not hindered:
            return Call("bargain", above_ceiling(case))
    if cost < case.value.low or kind == "shared":
        return Call("low", hindered or _unlikely(case), (kind,) if kind else ())
    return _over(case) or Call("in range", hindered)


def _over(case: Case) -> Call | None:
    assert case.value is not None
    if case.compared is not None and case.compared > case.value.high:
        why = f"Above the value's high, {reasons.figure(case.value.high)} {case.value.currency}."
        return Call("over", why)
    if why := above_ceiling(case):
        return Call("above ceiling", why)
    return None


def is_cheap(case: Case, context: Context) -> bool:
    """The price side of the bargain rule: a price to act on with its fees in, compared at most at the value's median,
    and a chance of being worth it, if genuine, that reaches `bargain_chance`."""
    if case.last_word or case.priced.bare or case.compared is None or case.value is None or case.worth_it is None:
        return False
    return case.compared <= case.value.mid and case.worth_it >= context.bargain_chance


def _hindered(case: Case, context: Context) -> tuple[str, str]:
    """Why a cheap lot is no Bargain, and the kind of Low that it is then; empty when it is one."""
    if case.cost is not None and case.value is not None and case.cost > case.value.mid:
        return _only_shared(case), "shared"
    issue = case.match.issue
    if case.lot.price_kind == "so far" and issue is not None and issue.copied and not case.reading.certified:
        return "Cheap so far, but copies are known, so no Bargain before the final price.", "signs"
    if case.doubt.level != "none":
        return "Cheap enough for a Bargain, but check the signs below first.", "signs"
    if case.reading.unsure:
        return f"Cheap enough for a Bargain, but not sure: {', '.join(case.reading.unsure)}.", "unsure"
    if case.reading.confidence < SURE:
        return "Cheap enough for a Bargain, but the title reads poorly.", "unsure"
    if (case.chance or 0.0) < context.bargain_chance:
        return "Cheap, but the signs below leave too small a chance that it is genuine and worth its cost.", "signs"
    return "", ""


def _only_shared(case: Case) -> str:
    assert case.value is not None
    assert case.compared is not None
    assert case.cost is not None
    costs = f"{case.compared:.2f} before postage, median {case.value.mid:.2f}, alone {case.cost:.2f}"
    return f"Cheap only with shared postage: {costs} {case.value.currency}."


def _unlikely(case: Case) -> str:
    """Why a lot under its value's low is no Bargain although nothing speaks against it."""
    if case.priced.bare:
        return f"Under the value's low, but no Bargain: {case.priced.note}."
    return "Under the value's low, but with too small a chance of being worth its cost with the margin you ask."


def above_ceiling(case: Case) -> str:
    """That the lot costs more than the ceiling of the want it matches; empty when it does not."""
    if case.ceiling is None or case.cost is None or case.cost <= case.ceiling[0].amount:
        return ""
    return f"Above your ceiling of {case.ceiling[0]} all in ({case.ceiling[1].id})."


def _beside(case: Case, mark: Mark, context: Context) -> tuple[str, ...]:
    """What else holds beside the mark: in this order bargain or low, over or above ceiling."""
    if mark == "copy" or case.compared is None:
        return ()
    found: list[str] = []
    if case.value is not None and not case.last_word and mark != "bargain":
        cheap = is_cheap(case, context) and mark == "doubt"
        found += ["bargain"] if cheap else ["low"] if case.compared < case.value.low else []
    over = case.value is not None and case.compared > case.value.high
    found += ["over"] if over else []
    found += ["above ceiling"] if above_ceiling(case) else []
    return tuple(each for each in found if each != mark)
