"""Grade cells: a number, or the words of nine national scales, as a band of the 70-point scale."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from watchlist.core.reading.vocabulary.gradegrammar import Grade, GradeGrammar
from watchlist.core.reading.vocabulary.gradescales import Scales, is_figure
from watchlist.core.reading.vocabulary.tokens import Token, tokens
from watchlist.core.tables import once

BEST_SCANDINAVIAN = "01"
"""A state, and no 1 of the 70-point scale."""
LEAST_PLUS = 7
"""Numbers under it take no plus: `1+` and `2+` are of national scales."""


@dataclass(frozen=True, slots=True)
class GradeRead:
    """A grade cell read: a band of the 70-point scale. Both ends are None for a proof without a number."""

    low: int | None
    high: int | None
    text: str
    """The words it rests on."""
    details: bool = False
    plus: bool = False
    proof: bool = False


def read_grade(text: str, scale_hint: str | None = None, tables: Mapping[str, Any] | None = None) -> GradeRead | None:
    """The grade a cell holds, by number or words; None when it holds none. Never raises.

    `scale_hint` is a scale (`uk`, `de`) or a country whose scale counts; `tables` are the word tables by name.
    """
    tables, them, hint = tables or {}, tokens(text), scale_hint or ""
    if not them:
        return None
    grammar = _grammar(tables.get("grades", tables))
    scale = grammar.scales.scale_of.get(hint.upper(), hint.lower())
    order = [scale] if scale else []
    if scale == "scand" and (figures := _scandinavian(grammar, them)):
        return _cell(figures, grammar, them, text)
    if plain := _figures(them, text):
        return plain
    found = [grade for at in range(len(them)) if (grade := grammar.at(them, at, order))]
    found = found or _scandinavian(grammar, them)
    return _cell(found, grammar, them, text) if found else None


@once
def _grammar(grades: Mapping[str, Any]) -> GradeGrammar:
    return GradeGrammar(Scales(grades))


def _cell(found: list[Grade], grammar: GradeGrammar, them: list[Token], text: str) -> GradeRead:
    """The best of the grade phrases of a cell."""
    best = max(found, key=lambda grade: (grade.numbered, not grade.bare, grade.end - grade.start, -grade.start))
    words = text[them[best.start].start : them[best.end - 1].end]
    details = best.details or any(token.low in grammar.scales.details for token in them)
    return GradeRead(best.low, best.high, words, details, best.plus, best.proof)


def _figures(them: list[Token], text: str) -> GradeRead | None:
    """A bare number, or two with a sign between them."""
    figures = [token.number for token in them if is_figure(token)]
    signs = [token.low for token in them if not is_figure(token)]
    if not figures or len(figures) > 2 or text.strip() == BEST_SCANDINAVIAN:
        return None
    if len(figures) == 1 and (not signs or (signs == ["+"] and figures[0] >= LEAST_PLUS)):
        return GradeRead(figures[0], figures[0], text.strip(), plus=bool(signs))
    if len(figures) == 2 and signs in (["-"], ["/"], ["to"]) and figures[0] <= figures[1]:
        return GradeRead(figures[0], figures[1], text.strip())
    return None


def _scandinavian(grammar: GradeGrammar, them: list[Token]) -> list[Grade]:
    """`kv. 1+`, `01`: figures of the Scandinavian scale."""
    at = 2 if len(them) > 2 and them[0].low in ("kv", "kval", "kvalitet") and them[1].low == "." else 0
    at = 1 if len(them) > 1 and at == 0 and them[0].low in ("kv", "kval", "kvalitet") else at
    found = grammar.figure_at(them, at)
    return [found] if found and (at or found.end == len(them)) else []
