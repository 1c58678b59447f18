"""Problems, designations, replica words and what kind of thing a piece is."""

from __future__ import annotations

from collections.abc import Mapping

from watchlist.core.reading.fields.kinds import other_thing
from watchlist.core.reading.scanning.scan import Mark, Scan


def find_problems(scan: Scan, field: bool = True) -> list[tuple[str, str, bool]]:
    """Finer word, words as written, and whether hedged, of each problem that is not denied."""
    out: list[tuple[str, str, bool]] = []
    for mark in scan.by.get("problem", ()):
        if scan.used[mark.start] or not _stands(scan, mark) or scan.negated(mark.start, mark.end):
            continue
        if scan.tok(mark.end).low == "?" and scan.has(mark.end + 1, "negation.before"):
            continue
        hedged = scan.hedged(mark.start, mark.end)
        if all(mark.value != finer for finer, _, _ in out):
            out.append((mark.value, scan.words(mark.start, mark.end), hedged))
            if field:
                scan.rest("problems", mark.start, mark.end, 0.6 if hedged else 0.9)
    return out


def _stands(scan: Scan, mark: Mark) -> bool:
    """A few problem words are something else next to some words."""
    word, after, before = scan.them[mark.start], scan.tok(mark.end), scan.tok(mark.start - 1)
    sets, alone = scan.lex.sets, mark.end - mark.start == 1
    if alone and word.low in sets["other_tongue"] and alien(scan, mark):
        return False
    if (
        mark.value == "details"
        or (alone and after.low in sets["not_before"])
        or (alone and before.low in sets["not_behind"])
    ):
        return False
    if alone and word.low in sets["capitals"]:
        return word.text.isupper() or before.low == "."
    if alone and word.low in sets["never_alone"]:
        return after.low == "." and (word.low == "scr" or (word.low == "kr" and before.kind != "n"))
    return not (word.low == "plated" and after.low == "in")


def alien(scan: Scan, mark: Mark) -> bool:
    """A word of a language the title is plainly not in: Italian `delle` is no German dent."""
    if mark.lang in ("en", "xx") or len(scan.marks_at[mark.start]) > 1:
        return False
    return max(scan.votes.values(), default=0) - scan.votes[mark.lang] >= 1 and scan.votes[mark.lang] <= 1


def canonical_problems(finer: list[str], kinds: Mapping[str, str], details: bool) -> tuple[str, ...]:
    """The vocabulary's words for finer ones, in order, each once; `details` last where a details grade stands."""
    out = dict.fromkeys(kinds.get(word, word) for word in finer)
    out.pop("", None)
    out.pop("details", None)
    if details:
        out["details"] = None
    return tuple(out)


def find_designations(
    scan: Scan, after_grade: int, graded: bool, copper: bool, proofed: bool
) -> list[tuple[str, bool]]:
    """Strike and colour designations; `after_grade` is the token behind the grade's number, or -1."""
    out: dict[str, bool] = {}
    for mark in scan.by.get("designation", ()):
        word = scan.them[mark.start]
        near = 0 <= mark.start - after_grade <= 3 if after_grade >= 0 else False
        glued = word.glued and scan.tok(mark.start - 1).kind == "n"
        short = mark.end - mark.start == 1 and len(word.low) <= 4
        if (scan.used[mark.start] and mark.value != "PROOF") or not _believed(
            scan, mark, near or glued, short, graded, copper
        ):
            continue
        if scan.negated(mark.start, mark.end):
            continue
        value = {"red": "RD", "brown": "BN"}.get(mark.value, mark.value)
        out[value] = scan.tok(mark.end).low == "?"
        scan.rest("designations", mark.start, mark.end, 0.6 if out[value] else 0.9)
        if mark.value != "PROOF":
            scan.take(mark.start, mark.end)
    if proofed:
        out.setdefault("PROOF", False)
    if "DCAM" in out:
        out.pop("CAM", None)
    if "DMPL" in out:
        out.pop("PL", None)
    if "RB" in out:
        out.pop("RD", None)
        out.pop("BN", None)
    return list(out.items())


def _believed(scan: Scan, mark: Mark, near: bool, short: bool, graded: bool, copper: bool) -> bool:
    """Whether a designation word is one here: letters by a grade, colours on copper, proof not of something."""
    if mark.value == "PROOF":
        return _is_proof(scan, mark)
    if mark.value in ("RD", "RB", "BN", "red", "brown"):
        return near and (graded or scan.them[mark.start].text.isupper()) if short and len(mark.value) == 2 else copper
    if not short or (near and scan.tok(mark.end).low not in ("label", "-")):
        return True
    if scan.tok(mark.end).low == "label" or (scan.tok(mark.end).low == "-" and scan.tok(mark.end + 1).kind == "n"):
        return False
    if scan.tok(mark.start - 1).number >= 1500 and not scan.tok(mark.end).low.startswith(("ms", "pr", "pf")):
        return False  # a mint master's letters behind the year
    word, by_grade = scan.them[mark.start], scan.them[mark.start].low in scan.lex.sets["by_grade"]
    return word.text.isupper() and graded and (not by_grade or (word.low != "uc" and mark.start > 2))


def _is_proof(scan: Scan, mark: Mark) -> bool:
    word, after = scan.them[mark.start], scan.tok(mark.end)
    if len(word.low) == 2 and mark.end - mark.start == 1:
        alien = word.low in scan.lex.sets["proof_letters"] and scan.votes[mark.lang] < 2
        return word.text in ("PP", "pp", "BE", "FS") and not alien
    return after.low not in ("like", "of", "that") and not (after.low == "-" and scan.tok(mark.end + 1).low == "like")


def is_replica(scan: Scan) -> bool:
    """Whether a word of copying stands that is not denied; restrikes of a state are none."""
    for mark in scan.by.get("replica.denied", ()):
        if not scan.used[mark.start] and not _of_belongings(scan, mark):
            scan.rest("replica", mark.start, mark.end, 0.95)
            return True
    for mark in scan.by.get("replica.words", ()):
        if scan.used[mark.start] or scan.negated(mark.start, mark.end):
            continue
        if scan.tok(mark.end).low == "?" and scan.has(mark.end + 1, "negation.before"):
            continue
        if any(scan.tok(mark.end + step).low in scan.lex.sets["papers"] for step in range(4)):
            continue  # a copy of the invoice comes with it
        scan.rest("replica", mark.start, mark.end, 0.95)
        return True
    return False


def _of_belongings(scan: Scan, mark: Mark) -> bool:
    """`not original packaging`, `Etui nicht original`: what comes with the piece, or its skin, is denied."""
    near = (mark.start - 2, mark.start - 1, mark.end, mark.end + 1)
    return any(scan.tok(at).low in scan.lex.sets["belongings"] for at in near)


def find_kind(scan: Scan) -> str:
    """coin, medal, token, bar, round or object; a love token is a coin."""
    if thing := other_thing(scan):
        scan.rest("kind", thing.start, thing.end, 0.9)
        return "object"
    for mark in scan.by.get("kind", ()):
        before = scan.tok(mark.start - 1).low
        if scan.used[mark.start] or scan.negated(mark.start, mark.end) or before in ("love", "medal", "year"):
            continue
        if mark.value == "round" and scan.tok(mark.end).kind != "" and not _is_round(scan):
            continue
        if mark.value == "bar" and not _by_weight(scan):
            continue
        scan.rest("kind", mark.start, mark.end, 0.9)
        return mark.value
    return "coin"


def _by_weight(scan: Scan) -> bool:
    """A bar is sold by its weight: a number with a measure stands in the title."""
    measures = scan.lex.sets["measure"]
    return any(t.low in measures and scan.tok(at - 1).kind in "nf" for at, t in enumerate(scan.them))


def _is_round(scan: Scan) -> bool:
    """A round is sold by weight: an ounce or a fineness stands in the title."""
    return any(token.low in ("oz", "ounce", "999", "troy") for token in scan.them)
