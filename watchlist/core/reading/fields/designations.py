"""Designations: how a piece was struck (proof, cameo, full bands) and the colour of its copper."""

from __future__ import annotations

from watchlist.core.reading.scanning.scan import Mark, Scan
from watchlist.core.reading.vocabulary.tokens import NUMBER, YEARS

COLOURS = {"RD": "RD", "RB": "RB", "BN": "BN", "red": "RD", "brown": "BN"}
PLAINLY = frozenset(("RD", "RB"))
"""Colours that words such as `full red` and `red-brown` say of no other metal."""
STRONGER = {"DCAM": ("CAM",), "DMPL": ("PL",), "RB": ("RD", "BN")}
"""Designations that say others as well, or in their place."""
PROOF_LETTERS = frozenset(("PP", "pp", "BE", "FS"))
SHORT = 4
"""Letters of a designation that may be something else: `FS`, `UC`, `FBL`."""
NEAR = 3
"""Words between a grade and its designation, at most."""


def find_designations(
    scan: Scan, after_grade: int, graded: bool, copper: bool, proofed: bool
) -> list[tuple[str, bool]]:
    """Strike and colour designations; `after_grade` is the token behind the grade's number, or -1."""
    out: dict[str, bool] = {}
    for mark in scan.by.get("designation", ()):
        near = _is_near(scan, mark, after_grade)
        if not _is_free(scan, mark) or not _believed(scan, mark, near, graded, copper):
            continue
        value, doubted = COLOURS.get(mark.value, mark.value), scan.tok(mark.end).low == "?"
        out[value] = doubted
        scan.rest("designations", mark.start, mark.end, 0.6 if doubted else 0.9)
        if mark.value != "PROOF":
            scan.take(mark.start, mark.end)
    if proofed:
        out.setdefault("PROOF", False)
    weaker = {name for strong, names in STRONGER.items() if strong in out for name in names}
    return [pair for pair in out.items() if pair[0] not in weaker]


def _is_near(scan: Scan, mark: Mark, after_grade: int) -> bool:
    """Tied to a number, or a few words behind the grade: `MS65RB`, `MS-65 RB`."""
    tied = scan.them[mark.start].glued and scan.tok(mark.start - 1).kind == NUMBER
    if tied and mark.value == "RD" and scan.tok(mark.start - 2).low not in (*scan.lex.prefixes, "-"):
        return False  # `3rd`
    return tied or (after_grade >= 0 and 0 <= mark.start - after_grade <= NEAR)


def _is_free(scan: Scan, mark: Mark) -> bool:
    """Not denied, and no other field's; `proof` may be the grade's own word too."""
    taken = scan.used[mark.start] and mark.value != "PROOF"
    return not taken and not scan.negated(mark.start, mark.end) and not scan.answered_no(mark.end)


def _believed(scan: Scan, mark: Mark, near: bool, graded: bool, copper: bool) -> bool:
    """Whether a designation word is one here: letters by a grade, colours on copper, proof not of something."""
    word = scan.them[mark.start]
    short = mark.end - mark.start == 1 and len(word.low) <= SHORT
    if short and len(word.low) == 2 and any(unit.value in scan.lex.sets["assayed"] for unit in scan.by.get("unit", ())):
        return False  # `8 reales 1799 Potosí PP`: the assayers
    if mark.value == "PROOF":
        return _is_proof(scan, mark)
    if mark.value in COLOURS and scan.tok(mark.end).low in scan.lex.sets["toned"]:
        return False  # `red-brown toning`
    if mark.value in COLOURS and not (short and len(mark.value) == 2):
        return copper or mark.value in PLAINLY
    if mark.value in COLOURS:
        return near and (graded or word.text.isupper())
    return not short or _is_by_grade(scan, mark, near, graded)


def _is_by_grade(scan: Scan, mark: Mark, near: bool, graded: bool) -> bool:
    """Letters right behind a grade, or in capitals anywhere in a graded title; `FS label` and `FS-101` are none."""
    word, after = scan.them[mark.start], scan.tok(mark.end)
    if near and after.low not in ("label", "-"):
        return True
    if after.low == "label" or (after.low == "-" and scan.tok(mark.end + 1).kind == NUMBER):
        return False
    if scan.tok(mark.start - 1).number >= YEARS[0] and not after.low.startswith(("ms", "pr", "pf")):
        return False  # a mint master's letters behind the year
    shy = word.low in scan.lex.sets["by_grade"] and (word.low == "uc" or mark.start <= 2)
    return word.text.isupper() and graded and not shy


def _is_proof(scan: Scan, mark: Mark) -> bool:
    """`PP`, `BE` as they are written; `proof`, but not `proof-like` and `proof of`."""
    word = scan.them[mark.start]
    if len(word.low) == 2 and mark.end - mark.start == 1:
        alien = word.low in scan.lex.sets["proof_letters"] and scan.votes[mark.lang] < 2
        return word.text in PROOF_LETTERS and not alien
    sets, after = scan.lex.sets, scan.tok(mark.end + (scan.tok(mark.end).low == "-"))
    said = {scan.tok(at).low for at in (*range(mark.start - NEAR, mark.start), mark.end, mark.end + 1)}
    return after.low not in sets["no_proof_before"] and said.isdisjoint(sets["exists"])  # `proof exists`
