"""Which of the grade phrases of a title is the piece's grade."""

from __future__ import annotations

from watchlist.core.reading.choice.draft import Draft
from watchlist.core.reading.fields.countries import ANCIENT, scale_order
from watchlist.core.reading.fields.grades import find_grades, is_quoted
from watchlist.core.reading.fields.services import unknown_service
from watchlist.core.reading.scanning.scan import Scan
from watchlist.core.reading.vocabulary.gradegrammar import Grade, GradeGrammar
from watchlist.core.reading.vocabulary.gradescales import NUMBERS
from watchlist.core.reading.vocabulary.tokens import SIGN

LEAST = 0.4
"""A grade phrase under this score is not a grade."""
CLOSE = 0.12
"""Two readings nearer than this both survive."""
SURE = 0.7
"""A second grade above this is one as well."""
BY_SERVICE = 0.92
"""How sure a bare number is that stands by a service."""
TIED = frozenset("%/½°-:")
PRICED = frozenset("€$£")
DOUBTED = 0.6
"""How sure a grade is that the title doubts, at most."""


def choose_grade(draft: Draft, grammar: GradeGrammar) -> None:
    """Set the grade of a draft, with its words and what else it may be."""
    scan = draft.scan
    order = scale_order(scan, draft.country, grammar.scales)
    found = find_grades(scan, grammar, order, draft.many.multiple, draft.country in ANCIENT)
    quoted = _quoted(scan, found)
    scored = [pair for pair in found if pair[0] >= LEAST]
    if draft.holder.at >= 0 and not any(grade.numbered for _, grade in scored):
        scored = [*_by_service(draft), *scored]
    if quoted is not None:
        draft.grade_text = quoted
        draft.doubt("grade")
        scored = []
    if scored:
        draft.grade_score, draft.grade = scored[0]
        _second_grade(draft, scored[1:])
        _settle_grade(draft, draft.grade)
    if draft.holder.service is None and not scan.by.get("raw.home_made"):
        unknown_service(scan, [pair[1] for pair in scored], draft.holder)


def _by_service(draft: Draft) -> list[tuple[float, Grade]]:
    """`QCG 63`, `graded 61 by HNS`: a bare number by the service that holds the piece, or by a word of grading."""
    scan, graded = draft.scan, draft.scan.lex.sets["graded"]
    said = (at for at, token in enumerate(scan.them) if token.low in graded)
    for word in (draft.holder.at, *said):
        behind = scan.past(word + 1, scan.lex.sets["before_number"])
        for at in (behind,) if word == draft.holder.at else (behind, word - 1):
            if _is_grade_number(scan, at, word):
                number = scan.them[at].number
                plus = scan.tok(at + 1).low == "+" and scan.tok(at + 1).glued
                grade = Grade(number, number, at, at + 1 + plus, "us", "", numbered=True, plus=plus)
                return [(BY_SERVICE, grade)]
    return []


def _is_grade_number(scan: Scan, at: int, word: int) -> bool:
    """A number of the scale that stands alone, or glued to the word at a token, and counts nothing."""
    token, after = scan.tok(at), scan.tok(at + 1)
    glued = token.glued and at - 1 != word and scan.tok(at - 1).kind != SIGN
    if token.number not in NUMBERS or scan.used[at] or glued:
        return False
    tied = after.glued and (after.kind != SIGN or after.low in TIED)
    counted = any(scan.has(at + 1, kind) for kind in ("unit", "coin", "multiple.counted"))
    return not tied and not counted and scan.tok(at - 1).low not in PRICED and after.low not in PRICED


def _quoted(scan: Scan, scored: list[tuple[float, Grade]]) -> str | None:
    """`slab "MS70"`: a grade in quotation marks by a look-alike holder is not a grade."""
    alike = scan.by.get("raw.home_made") or scan.by.get("raw.no_service")
    if not alike or not scored or not is_quoted(scan, scored[0][1]):
        return None
    return scan.words(scored[0][1].start - 1, scored[0][1].end + 1)


def _second_grade(draft: Draft, rest: list[tuple[float, Grade]]) -> None:
    """A second worded grade: in brackets, or of the other side, it widens the first, else it is another reading."""
    first, scan = draft.grade, draft.scan
    if first is None or first.numbered:
        return
    other = next((pair for pair in rest if (pair[1].low, pair[1].high) != (first.low, first.high)), None)
    if other is None:
        return
    score, grade = other
    widens = (scan.tok(grade.start - 1).low == "(" and score > SURE) or (
        _is_side(scan, first) and _is_side(scan, grade)
    )
    if widens:
        first.low, first.high = min(first.low, grade.low), max(first.high, grade.high)
        draft.grade_text = f"{scan.words(first.start, first.end)} ... ({scan.words(grade.start, grade.end)})"
    elif draft.grade_score - score < CLOSE and score > SURE:
        draft.doubt("grade", scan.words(grade.start, grade.end))


def _is_side(scan: Scan, grade: Grade) -> bool:
    """`gVF obv`, `Vs. ss`: the grade of one side."""
    near = {scan.tok(grade.start - 1).low, scan.tok(grade.start - 2).low, scan.tok(grade.end).low}
    return not near.isdisjoint(scan.lex.sets["sides"])


def _settle_grade(draft: Draft, grade: Grade) -> None:
    """Take the grade's words, with the signs tied to them, and say how sure it is."""
    scan, sure = draft.scan, draft.grade_score
    scan.take(grade.start, grade.end)
    either = [f"{grade.other[0]} to {grade.other[1]}"] if grade.other is not None else []
    if either or scan.them[grade.end - 1].low == "?" or scan.hedged(grade.start, grade.end):
        draft.doubt("grade", *either)
        sure = min(sure, DOUBTED)
    if draft.grade_text is None:
        end = grade.end
        while scan.tok(end).low in ("!", "+", "?") and scan.tok(end).glued:
            end += 1
        draft.grade_text = scan.words(grade.start, end)
    scan.rest("grade", grade.start, grade.end, round(sure, 2))


def is_proof_word(grade: Grade | None, scan: Scan) -> bool:
    """Whether the grade's own words say proof: PR-65, PP, fondo specchio."""
    if grade is None:
        return False
    word = scan.them[grade.start].low
    return grade.proof or (word in scan.lex.sets["proof_grades"] and grade.scale not in ("us", "uk"))


def grade_band(
    grade: Grade | None, designations: list[tuple[str, bool]], replica: bool
) -> tuple[int | None, int | None]:
    """The band of the grade. A worded proof spans 60 to 70; a copy's proof is not a grade at all."""
    if grade is None:
        return None, None
    if any(name == "PROOF" for name, _ in designations) and not grade.numbered and grade.low >= 60:
        return (60, 70) if not replica else (None, None)
    return grade.low, grade.high
