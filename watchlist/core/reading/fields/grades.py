"""The grade of a title: all grade phrases, and which one counts."""

from __future__ import annotations

from collections.abc import Sequence

from watchlist.core.reading.fields.mints import is_lettering
from watchlist.core.reading.scanning.scan import Scan
from watchlist.core.reading.vocabulary.gradegrammar import Grade, GradeGrammar
from watchlist.core.reading.vocabulary.gradescales import OWN
from watchlist.core.reading.vocabulary.tokens import NUMBER, WORD, Token

QUOTES = frozenset("\"'“”„«»")
COUNTED = ("unit", "coin", "multiple.counted")
"""What a number before it counts: no grade in figures."""
LETTERS = 2
"""Words up to this long need a place where a grade may stand."""


def find_grades(
    scan: Scan, grammar: GradeGrammar, order: Sequence[str], many: bool, ancient: bool = False
) -> list[tuple[float, Grade]]:
    """Every grade phrase with its score, best first. `ancient`: a slash may part the two sides of the piece."""
    out: list[tuple[float, Grade]] = []
    at, root, moves, count = 0, grammar.scales.phrases.root, grammar.scales.moves, len(scan.them)
    nothing = {mark.start: mark.end for mark in scan.by.get("nothing.words", ())}
    while at < count:
        low = scan.them[at].low
        if scan.used[at] or at in nothing or (low not in root and low not in moves):
            at = nothing.get(at, at + 1)
            continue
        grade = grammar.at(scan.them, at, order, many, ancient)
        if grade is None or not scan.free(at, grade.end) or (score := _score(scan, grade, order)) <= 0:
            at += 1
            continue
        out.append((score, grade))
        at = grade.end
    figures = _scandinavian(scan, grammar, order)
    if figures and "st" in scan.lows:  # `st. 3` is a state, no Stempelglanz
        out = [pair for pair in out if not any(_is_state(scan, pair[1], grade) for _, grade in figures)]
    out += figures
    out.sort(key=lambda pair: -pair[0])
    return out


def _score(scan: Scan, grade: Grade, order: Sequence[str]) -> float:
    """How much a phrase looks like this piece's grade; nothing or less: it is none."""
    first, last = scan.them[grade.start], scan.them[grade.end - 1]
    if scan.tok(grade.start - 1).low in QUOTES and scan.tok(grade.end).low in QUOTES:
        return 0.3
    if not grade.numbered and _is_code(scan, grade):
        return 0.3
    if grade.numbered:
        return 0.98 if not grade.bare else 0.75
    if grade.scale == OWN:
        return 0.97
    if scan.negated(grade.start, grade.end, 0) and grade.scale not in ("es", "fr"):
        return 0
    score = 0.9
    letter = len(first.low) == 1 and not _has_word(scan, grade)
    if letter and grade.scale not in order[:2] and first.low != "s":
        return 0
    if len(first.low) == LETTERS and grade.bare and grade.scale not in order and grade.scale != "us":
        score -= 0.25
    if first.low == "regular" and grade.scale not in order:
        return 0
    if grade.scale not in order[:2] and grade.scale not in ("us", "de"):
        score -= 0.1
    if first.kind == WORD and grade.end - grade.start == 1:
        score -= _letters(scan, grade, len(first.low))
    if grade.details:
        score += 0.05
    if first.low in scan.lex.sets["common_grades"] or first.low in scan.lex.sets["praise"]:
        score -= _common_word(scan, grade)
    if last.end - first.start > 8:
        score += 0.03
    return score


def _has_word(scan: Scan, grade: Grade) -> bool:
    """`f.st` holds more than single letters."""
    return any(token.kind == WORD and len(token.low) > 1 for token in scan.them[grade.start : grade.end])


def _is_code(scan: Scan, grade: Grade) -> bool:
    """`MS-M`: letters tied to another letter are initials."""
    sign, letter = scan.tok(grade.end), scan.tok(grade.end + 1)
    tied = sign.low == "-" and sign.glued and letter.glued and letter.kind == WORD
    return tied and len(letter.low) == 1 and grade.end - grade.start == 1


def _letters(scan: Scan, grade: Grade, count: int) -> float:
    """A short word alone: `F`, `s`, `B`, `G` count where a grade stands: at the end, by a comma, after the year."""
    before, after = scan.tok(grade.start - 1), scan.tok(grade.end)
    if count > LETTERS:
        return 0.0
    clear = after.low == "" or after.low in ",;.)(!?|/-+" or scan.has(grade.end, "problem") is not None
    early = before.low in ",;.()|-/" and before.low != ""
    if count == LETTERS:
        return 0.0 if clear or early else 0.12
    if scan.has(grade.end, "unit") or after.low in ("'",) or is_lettering(scan, grade.end - 1):
        return 1.0
    if after.low == "." and scan.tok(grade.end + 1).low != "" and scan.tok(grade.end + 1).glued:
        return 1.0
    return 0.15 if clear else 0.3 if early else 0.55


def _common_word(scan: Scan, grade: Grade) -> float:
    """`good`, `fine`, `beau` are words of the language too: believed at the end, by punctuation, in brackets."""
    before, after = scan.tok(grade.start - 1), scan.tok(grade.end)
    if grade.details or grade.end - grade.start > 1:
        return 0.05
    if after.low == "" or (after.low != "" and after.low in ",;.)(!?|/-+&"):
        return 0.05
    return 0.2 if before.low in ",;.(|-" and before.low != "" else 0.35


def _scandinavian(scan: Scan, grammar: GradeGrammar, order: Sequence[str]) -> list[tuple[float, Grade]]:
    """Figures as a grade: after `kv.` or Polish `stan`, or `01`, `1+`, `1+/01` in a Scandinavian title."""
    out = []
    for scale in ("scand", "pl"):
        for mark in scan.by.get(scale, ()):
            at = mark.end + (scan.tok(mark.end).low in (".", ":"))
            if scan.free(at, at + 1) and (grade := grammar.figure_at(scan.them, at, scale)):
                out.append((0.95, grade))
    out += _short_state(scan, grammar)
    if "scand" in order and not out:
        for at, token in enumerate(scan.them):
            figure = token.low in ("01", "1", "0") and not token.glued and not scan.used[at]
            if figure and (grade := grammar.figure_at(scan.them, at)) and _figures_stand(scan, grade, token.low):
                out.append((0.85, grade))
                break
    return out


def _short_state(scan: Scan, grammar: GradeGrammar) -> list[tuple[float, Grade]]:
    """`st. 3`, `st. II+`: the Polish state, abbreviated; `12 st 1 krona` counts, and `vz-st` is a German grade."""
    out = []
    for at, token in enumerate(scan.them if "st" in scan.lows else ()):
        before = scan.tok(at - 1)
        tied = (token.glued and before.low in ("-", "/")) or (before.kind == NUMBER and not _is_date(before))
        if token.low != "st" or token.text == "ST" or scan.used[at] or tied:
            continue
        figure = at + 1 + (scan.tok(at + 1).low == ".")
        if token.text == "St" and scan.tok(figure).kind != NUMBER:
            continue
        grade = grammar.figure_at(scan.them, figure, "pl") if scan.free(figure, figure + 1) else None
        if grade and scan.tok(grade.end).kind != NUMBER and not any(scan.has(grade.end, kind) for kind in COUNTED):
            out.append((0.95, grade))
    return out


def _is_state(scan: Scan, grade: Grade, figure: Grade) -> bool:
    return scan.them[grade.start].low == "st" and figure.start - 2 <= grade.start < figure.start


def _is_date(token: Token) -> bool:
    return len(token.low) == len("1839")


def _figures_stand(scan: Scan, grade: Grade, low: str) -> bool:
    marked = grade.end - grade.start > 1 or low == "01"
    after = scan.tok(grade.end)
    return (
        (marked or after.low in ("", ",", ".", "-", "("))
        and not scan.has(grade.end, "unit")
        and not (scan.tok(grade.start - 1).low in ("/", "-") and scan.tok(grade.start - 1).glued)
    )
