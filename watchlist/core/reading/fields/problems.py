"""Problems of a piece: cleaned, holed, scratched, in the words of the title and in those of the trade."""

from __future__ import annotations

from collections.abc import Mapping

from watchlist.core.reading.fields.bearers import not_its_own
from watchlist.core.reading.scanning.scan import Mark, Scan
from watchlist.core.reading.vocabulary.tokens import NUMBER

MADE_OF = frozenset(("replated", "copper_plated"))
"""Words for a fault that only tell what a copy is made of."""


def find_problems(scan: Scan, single: bool = True, copy: bool = False) -> list[tuple[str, str, bool]]:
    """Finer word, words as written, and whether hedged, of each problem that is the piece's own and not denied.
    `single`: one piece is sold; `copy`: it is a copy."""
    marks = _told(scan, MADE_OF if copy else frozenset())
    if not marks:
        return []
    left_out = not_its_own(scan, sorted({(mark.start, mark.end) for mark in marks}), single)
    out: dict[str, tuple[str, str, bool]] = {}
    for mark in marks:
        if mark.value not in out and mark.start not in left_out:
            hedged = scan.hedged(mark.start, mark.end)
            out[mark.value] = (mark.value, scan.words(mark.start, mark.end), hedged)
            scan.rest("problems", mark.start, mark.end, 0.6 if hedged else 0.9)
    return list(out.values())


def _told(scan: Scan, but: frozenset[str]) -> list[Mark]:
    """The words for problems that stand, without those of some values."""
    marks = (mark for mark in scan.by.get("problem", ()) if not scan.used[mark.start] and mark.value not in but)
    return [mark for mark in marks if _stands(scan, mark)]


def _stands(scan: Scan, mark: Mark) -> bool:
    """Whether words for a problem mean it here; `details` is said by the grade, and one word alone may be another."""
    if mark.value == "details" or mark.end - mark.start > 1:
        return mark.value != "details"
    word, before, after, sets = scan.them[mark.start], scan.tok(mark.start - 1), scan.tok(mark.end), scan.lex.sets
    foreign = word.low in sets["other_tongue"] and alien(scan, mark)
    named = after.low in sets["not_before"] or before.low in sets["not_behind"]  # `Mount Vernon`
    cased = word.text.isupper() or before.low == "." or (word.text.istitle() and after.low == ".")  # `RF`, `Rf.`
    small = word.low in sets["capitals"] and not cased
    cut = word.low in sets["never_alone"] and not _is_cut_short(scan, mark)
    if mark.value == "replated" and any(scan.tok(at).low in sets["toned"] for at in range(mark.start - 3, mark.start)):
        return False  # `patine légèrement dorée`
    if word.low in sets["name_too"] and word.text.istitle():
        return False  # `Polish 5 zlotych`
    metal = word.low == "plated" and after.low == "in"  # `silver plated in 1920` is told by its own phrase
    return not (foreign or named or small or cut or metal)


def _is_cut_short(scan: Scan, mark: Mark) -> bool:
    """`scr.`, `kr.`: a word cut short has its stop, and `5 kr.` is a value."""
    stopped = scan.tok(mark.end).low == "." and scan.them[mark.start].low in scan.lex.sets["cut_short"]
    return stopped and not (scan.has(mark.start, "unit") and scan.tok(mark.start - 1).kind == NUMBER)


def alien(scan: Scan, mark: Mark) -> bool:
    """A word of a language the title is plainly not in: Italian `delle` is no German dent."""
    if mark.lang in ("en", "xx") or len(scan.marks_at[mark.start]) > 1:
        return False
    own = scan.votes[mark.lang]
    return own <= 1 and max(scan.votes.values(), default=0) > own


def canonical_problems(finer: list[str], kinds: Mapping[str, str], details: bool) -> tuple[str, ...]:
    """The vocabulary's words for finer ones, in order, each once; `details` last where a details grade stands."""
    out = dict.fromkeys(kinds.get(word, word) for word in finer)
    out.pop("", None)
    out.pop("details", None)
    return (*out, "details") if details else tuple(out)
