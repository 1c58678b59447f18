"""The grade of a title: all grade phrases, and which one counts."""

from __future__ import annotations

from collections.abc import Sequence

from watchlist.core.reading.fields.mints import is_lettering
from watchlist.core.reading.scanning.noise import THOUSANDTHS
from watchlist.core.reading.scanning.scan import Scan
from watchlist.core.reading.vocabulary.gradegrammar import Grade, GradeGrammar
from watchlist.core.reading.vocabulary.gradescales import OWN
from watchlist.core.reading.vocabulary.tokens import NUMBER, QUOTES, WORD

COUNTED = ("unit", "coin", "multiple.counted")
"""What a number before it counts: no grade in figures."""
LETTERS = 2
"""Words up to this long need a place where a grade may stand."""
QUOTED = 0.3
"""Score of letters between quotation marks, and of initials."""
HEARSAY = 0.45
"""Score of a grade that somebody else gave."""
FAR = 7
"""Words before a grade among which somebody is named who gave it."""
STOPS = frozenset(".!?;")
WORDED = 0.9
"""Score of a grade in words, before anything else is known."""
TALK = 0.6
"""What a common word of a description loses where a grade may not stand."""
LONG = 8
"""Letters of a grade so long that it is nothing else."""
DATE = len("1839")
BEHIND = frozenset(",;.)(!?|/-+") | {""}
"""What stands behind a grade; nothing does at the end of a title."""
AHEAD = frozenset(",;.|-")
"""What parts a grade from the words before it."""


def find_grades(
    scan: Scan, grammar: GradeGrammar, order: Sequence[str], many: bool, ancient: bool = False
) -> list[tuple[float, Grade]]:
    """Every grade phrase with its score, best first. `ancient`: a slash may part the two sides of the piece."""
    out: list[tuple[float, Grade]] = []
    at, root, moves, them, used = 0, grammar.scales.phrases.root, grammar.scales.moves, scan.them, scan.used
    nothing = {mark.start: mark.end for mark in scan.by.get("nothing.words", ())}
    while at < len(them):
        low = them[at].low
        if used[at] or at in nothing or (low not in root and low not in moves):
            at = nothing.get(at, at + 1)
            continue
        grade = grammar.at(them, at, order, many, ancient)
        if grade is not None and not scan.free(at, grade.end):  # `VF 20 francs`: the number is the value's
            grade = grammar.at(them[: used.index(1, at)], at, order, many, ancient)
        if grade is None or (score := _score(scan, grade, order)) <= 0:
            at += 1
            continue
        out.append((score, grade))
        at = grade.end
    return sorted(_with_figures(scan, out, _figures(scan, grammar, order)), key=lambda pair: -pair[0])


def _with_figures(
    scan: Scan, worded: list[tuple[float, Grade]], figures: list[tuple[float, Grade]]
) -> list[tuple[float, Grade]]:
    """Grades in words and in figures: `st. 3` is a state, no Stempelglanz."""
    if figures and "st" in scan.lows:
        worded = [pair for pair in worded if not any(_is_state(scan, pair[1], grade) for _, grade in figures)]
    return worded + figures


def _score(scan: Scan, grade: Grade, order: Sequence[str]) -> float:
    """How much a phrase looks like this piece's grade; nothing or less: it is none."""
    if is_quoted(scan, grade) or (not grade.numbered and _is_code(scan, grade)):
        return QUOTED
    if scan.quiet and scan.says("hearsay") and _is_hearsay(scan, grade.start):
        return HEARSAY
    if grade.numbered:
        return 0.75 if grade.bare else 0.98
    if grade.scale == OWN:
        return 0.97
    return 0 if _is_none(scan, grade, order) else _worded(scan, grade, order)


def _is_hearsay(scan: Scan, at: int) -> bool:
    """`I was told it is MS64`, `a dealer called it EF`: somebody else's grade, or one of another day."""
    for here in range(at - 1, max(at - FAR, 0) - 1, -1):
        if scan.tok(here).low in STOPS:
            return False
        if scan.tok(here).low in scan.lex.sets["hearsay"]:
            return True
    return False


def is_quoted(scan: Scan, grade: Grade) -> bool:
    """`"MS70"`: between quotation marks."""
    return scan.tok(grade.start - 1).low in QUOTES and scan.tok(grade.end).low in QUOTES


def _is_none(scan: Scan, grade: Grade, order: Sequence[str]) -> bool:
    """Words of a scale that are no grade in this title: denied, or letters and common words of another language."""
    first, last = scan.them[grade.start].low, scan.them[grade.end - 1].low
    denied = grade.scale not in ("es", "fr") and scan.denied(grade.start, 0)  # `UNC as issued`
    if not denied and "?" in scan.lows:
        denied = scan.answered_no(grade.end - (last == "?")) or scan.answered_no(grade.end)
    named = len(first) == 1 and scan.tok(grade.start - 1).low in scan.lex.sets["a_letter"]  # `a neat letter F`
    letter = len(first) == 1 and first != "s" and grade.scale not in order[:2] and not _has_word(scan, grade)
    fine = first == "fine" and _is_fineness(scan, grade.start - 1)
    legend = first == "fr" and _is_no_fair(scan, grade)
    return (
        denied
        or letter
        or named
        or fine
        or legend
        or _is_assayer(scan, grade)
        or _is_saint(scan, grade)
        or _is_likened(scan, grade)
        or (first in scan.lex.sets["only_own_scale"] and grade.scale not in order)
    )


def _is_saint(scan: Scan, grade: Grade) -> bool:
    """`St. Petersburg`, `St Gallen`: a name behind it; `St. Kratzer` is uncirculated with a scratch."""
    at = grade.start + 1 + (scan.tok(grade.start + 1).low == ".")
    return scan.them[grade.start].text == "St" and scan.tok(at).text.istitle() and not scan.has(at, "problem")


def _is_likened(scan: Scan, grade: Grade) -> bool:
    """`MS-like eagle`: as if it were one."""
    return scan.tok(grade.end).low == "-" and scan.tok(grade.end + 1).low in scan.lex.sets["likened"]


def _is_no_fair(scan: Scan, grade: Grade) -> bool:
    """`Léopold II FR`: French letters; `Fr. 95.-`: francs."""
    priced = scan.tok(grade.end).low == "." and scan.tok(grade.end + 1).kind == NUMBER
    return priced or (grade.scale == "us" and scan.votes["fr"] > 0)


def _is_assayer(scan: Scan, grade: Grade) -> bool:
    """`8 reales 1820 Ga FS`: capitals of an assayer, on pieces that carry them."""
    sets, word = scan.lex.sets, scan.them[grade.start]
    lettered = word.low in sets["assayers"] and word.text.isupper() and grade.end - grade.start == 1
    return lettered and any(unit.value in sets["assayed"] for unit in scan.by.get("unit", ()))


def _is_fineness(scan: Scan, at: int) -> bool:
    """`.999 fine`, `0,835 fine`: of the metal."""
    figure = scan.tok(at)
    pointed = scan.tok(at - 1).low == "." and figure.glued
    return figure.kind == NUMBER and (pointed or "." in figure.low or "," in figure.low or figure.number in THOUSANDTHS)


def _worded(scan: Scan, grade: Grade, order: Sequence[str]) -> float:
    first = scan.them[grade.start]
    score = WORDED
    if len(first.low) == LETTERS and grade.bare and grade.scale not in (*order, "us"):
        score -= 0.25
    if grade.scale not in (*order[:2], "us", "de"):
        score -= 0.1
    if first.kind == WORD and grade.end - grade.start == 1:
        score -= _letters(scan, grade, len(first.low))
    if grade.details:
        score += 0.05
    if first.low in scan.lex.sets["common_grades"] or first.low in scan.lex.sets["praise"]:
        score -= _common_word(scan, grade)
    return score + 0.03 if scan.end(grade.end - 1) - scan.begin(grade.start) > LONG else score


def _has_word(scan: Scan, grade: Grade) -> bool:
    """`f.st` holds more than single letters."""
    return any(token.kind == WORD and len(token.low) > 1 for token in scan.them[grade.start : grade.end])


def _is_code(scan: Scan, grade: Grade) -> bool:
    """`MS-M`: letters tied to another letter are initials."""
    sign, letter = scan.tok(grade.end), scan.tok(grade.end + 1)
    tied = sign.low == "-" and sign.glued and letter.glued and letter.kind == WORD
    return tied and len(letter.low) == 1 and grade.end - grade.start == 1


def _letters(scan: Scan, grade: Grade, count: int) -> float:
    """What a short word alone loses: `F`, `s`, `B`, `G` count where a grade stands: at the end, by a comma."""
    if count > LETTERS:
        return 0.0
    before, after = scan.tok(grade.start - 1), scan.tok(grade.end)
    if scan.them[grade.start].glued and before.kind == NUMBER:
        return 1.0  # `1940s`, `1893s`
    clear = after.low in BEHIND or scan.has(grade.end, "problem") is not None
    early = before.low in AHEAD or before.low in ("(", ")", "/") or before.low in scan.lex.sets["otherwise"]
    if count == LETTERS:
        return 0.0 if clear or early else 0.12
    if _is_initial(scan, grade):
        return 1.0
    return 0.15 if clear else 0.3 if early else 0.55


def _is_initial(scan: Scan, grade: Grade) -> bool:
    """`F.D.C.`, `F mark`, `s'Hertogenbosch`, a letter of the coin: no grade of one letter."""
    after = scan.tok(grade.end)
    dotted = after.low == "." and scan.tok(grade.end + 1).low != "" and scan.tok(grade.end + 1).glued
    marked = scan.has(grade.end, "unit") is not None or after.low == "'"
    return dotted or marked or is_lettering(scan, grade.end - 1)


def _common_word(scan: Scan, grade: Grade) -> float:
    """What words of the language lose: `good`, `fine`, `beau` are believed at the end, by punctuation, in brackets."""
    after = scan.tok(grade.end).low
    if grade.details or grade.end - grade.start > 1 or after in BEHIND or after == "&":
        return 0.05
    before = scan.tok(grade.start - 1).low
    if before == ":":
        return 0.05
    if scan.quiet:
        return 0.1 if _opens(scan, grade) else TALK  # `fair eye appeal`
    return 0.2 if before in AHEAD or before == "(" else 0.35


def _opens(scan: Scan, grade: Grade) -> bool:
    """`Fine for wear, tooled`, `Prachtig met kleine randtik`: it opens a sentence and says what else there is."""
    sets, before, after = scan.lex.sets, scan.tok(grade.start - 1).low, scan.tok(grade.end).low
    return before in ("", ".", "!", ";") and (after in sets["goes_on"] or scan.tok(grade.end + 1).low in sets["wear"])


def _figures(scan: Scan, grammar: GradeGrammar, order: Sequence[str]) -> list[tuple[float, Grade]]:
    """Figures as a grade: after `kv.` or Polish `stan`, or `01`, `1+`, `1+/01` in a Scandinavian title."""
    out = []
    for mark in (mark for scale in ("scand", "pl") for mark in scan.by.get(scale, ())):
        at = mark.end + (scan.tok(mark.end).low in (".", ":"))
        if scan.free(at, at + 1) and (grade := grammar.figure_at(scan.them, at, mark.kind)):
            out.append((0.95, grade))
    out += _short_state(scan, grammar)
    if "scand" in order and not out:
        for at, token in enumerate(scan.them):
            figure = token.low in ("01", "1", "0") and not token.glued and not scan.used[at]
            if figure and (grade := grammar.figure_at(scan.them, at)) and _figures_stand(scan, grade, token.low):
                return [(0.85, grade)]
    return out


def _short_state(scan: Scan, grammar: GradeGrammar) -> list[tuple[float, Grade]]:
    """`st. 3`, `st. II+`: the Polish state, abbreviated; `st. 1 krona` and `st. 3 25` are none."""
    out = []
    for at, token in enumerate(scan.them if "st" in scan.lows else ()):
        figure = at + 1 + (scan.tok(at + 1).low == ".")
        if token.low != "st" or not _may_be_state(scan, at, figure):
            continue
        grade = grammar.figure_at(scan.them, figure, "pl") if scan.free(figure, figure + 1) else None
        if grade and scan.tok(grade.end).kind != NUMBER and not any(scan.has(grade.end, kind) for kind in COUNTED):
            out.append((0.95, grade))
    return out


def _may_be_state(scan: Scan, at: int, figure: int) -> bool:
    """`12 st 1 krona` counts, `vz-st` is a German grade, `ST` a mint master, `St. II` a saint or a ruler."""
    token, before = scan.them[at], scan.tok(at - 1)
    tied = (token.glued and before.low in ("-", "/")) or (before.kind == NUMBER and len(before.low) != DATE)
    named = token.text == "ST" or (token.text == "St" and scan.tok(figure).kind != NUMBER)
    return not (tied or named or scan.used[at])


def _is_state(scan: Scan, grade: Grade, figure: Grade) -> bool:
    return scan.them[grade.start].low == "st" and figure.start - 2 <= grade.start < figure.start


def _figures_stand(scan: Scan, grade: Grade, low: str) -> bool:
    """`01`, `1+` anywhere, a bare `1` or `0` only by a stop or the end; never before a unit or behind a slash."""
    before, after = scan.tok(grade.start - 1), scan.tok(grade.end).low
    marked = grade.end - grade.start > 1 or low == "01" or after in ("", ",", ".", "-", "(")
    return marked and not scan.has(grade.end, "unit") and not (before.low in ("/", "-") and before.glued)
