"""What bears a fault that is told: the piece itself, or nothing, its holder, other pieces, the post.

Looked at only where a fault is named, sentence by sentence: a fault is left out where it is denied (`free of scratches,
nicks and cleaning`), where a holder bears it (`Kratzer auf der Kapsel`), or where the sentence speaks of terms
(`damaged coins cannot be returned`).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from watchlist.core.reading.scanning.breaths import STOPS, ahead, back, on_new_line
from watchlist.core.reading.scanning.scan import Scan

Place = tuple[int, int]
"""The tokens of a fault: the first, and the one behind the last."""
FAR = 7
"""Words of a description between a negation and what it denies, at most: `no sign at all of any old cleaning`."""
OF_HOLDER, OF_HOLDER_TITLE = 12, 3
"""Words between a holder and its fault, at most, in a description and in a title."""
BEHIND = 3
"""Words between a fault and the preposition that gives it to a holder: `scratches, only on the slab`."""
GENERAL = 4
"""Words between pieces in general and their fault: `coins that have been cleaned`."""
LINK = 3
"""Tokens between two faults of one list, at most: `scratches or any nicks`."""
CLAUSE = 30
"""Words of a sentence looked at to either side of a fault."""


def not_its_own(scan: Scan, places: Sequence[Place], single: bool) -> set[int]:
    """Where the faults start that are not the piece's. `places`: of all faults told, in order; `single`: one piece is
    sold, so that faults of pieces in general are no faults of its."""
    out: set[int] = set()
    for run in _lists(scan, places):
        if any(_is_denied(scan, *place) or _is_of_another(scan, *place, single) for place in run[:1]):
            out.update(start for start, _ in run)
            continue
        for start, end in run[1:]:
            if _is_denied(scan, start, end) or _is_of_another(scan, start, end, single):
                out.add(start)
    return out


def _lists(scan: Scan, places: Sequence[Place]) -> Iterator[list[Place]]:
    """Faults that stand in one list, such as `scratches, nicks or cleaning`, together; each other one alone."""
    at = 0
    while at < len(places):
        last, here = at, at
        while here + 1 < len(places) and (link := _link(scan, places[here][1], places[here + 1][0])):
            here += 1
            last = here if link != "," else last
        yield list(places[at : last + 1])
        at = last + 1


def _link(scan: Scan, start: int, end: int) -> str:
    """What ties two faults of a list: `,`, `and` or `or`; empty where nothing does."""
    lows, sets = [token.low for token in scan.them[start:end]], scan.lex.sets
    if not 0 < len(lows) <= LINK or any(on_new_line(scan, at) for at in range(start, end + 1)):
        return ""
    if any(low in sets["list_or"] for low in lows) and STOPS.isdisjoint(lows):
        return "or"
    if [low for low in lows if low != ","] and all(low in sets["and"] or low == "," for low in lows):
        return "and"
    return "," if lows == [","] or lows == ["/"] else ""


def _is_denied(scan: Scan, start: int, end: int) -> bool:
    """`never holed`, `holed? no`, `scratches: none`, `no trace whatever of a cleaning`."""
    if scan.negated(start, end) or scan.answered_no(end):
        return True
    if scan.tok(end).low == ":" and scan.has(end + 1, "negation.before"):
        return True
    if not scan.quiet or "negation.before" not in scan.by:
        return False
    denials = {mark.end - 1 for mark in scan.by["negation.before"]}
    return any(at in denials for at in back(scan, start, FAR, scan.lex.sets["but"]))


def _is_of_another(scan: Scan, start: int, end: int, single: bool) -> bool:
    if _is_of_holder(scan, start) or _is_on_holder(scan, end):
        return True
    if not scan.quiet:
        return False
    return _is_in_terms(scan, start, end) or (single and _is_of_any(scan, start, end))


def _is_of_holder(scan: Scan, start: int) -> bool:
    """`the holder has light scratches`, `Etui verkratzt`; but `in holder, scratched` and `slab AU details cleaned`."""
    sets = scan.lex.sets
    stops = sets["of_it"] | sets["says"] | scan.lex.prefixes
    for at in back(scan, start, OF_HOLDER if scan.quiet else OF_HOLDER_TITLE, stops):
        if _keeps(scan, at):
            before = (scan.tok(at - 1).low, scan.tok(at - 2).low, scan.tok(at - 3).low)
            return sets["inside"].isdisjoint(before) and sets["onto"].isdisjoint(before[:2])
    return False


def _is_on_holder(scan: Scan, end: int) -> bool:
    """`scratches on the holder`, `Kratzer auf der Kapsel`, `scuffed slab`."""
    if _keeps(scan, end):
        return True
    sets = scan.lex.sets
    for at in ahead(scan, end, BEHIND):
        if scan.tok(at).low in sets["onto"] or _elided(scan.tok(at).low):
            return any(_keeps(scan, here) for here in ahead(scan, at, BEHIND + 1))
    return False


def _is_in_terms(scan: Scan, start: int, end: int) -> bool:
    """`returns accepted if damaged`, `keine Haftung bei Beschädigung`."""
    terms = scan.lex.sets["terms"]
    clause = (*back(scan, start, CLAUSE, ()), *ahead(scan, end, CLAUSE))
    return any(scan.tok(at).low in terms for at in clause)


def _is_of_any(scan: Scan, start: int, end: int) -> bool:
    """`coins that have been cleaned`, `polished fakes`, `usually holed`."""
    sets = scan.lex.sets
    if scan.tok(end).low in sets["in_general"]:
        return True
    words = sets["in_general"] | sets["mostly"]
    return any(scan.tok(at).low in words for at in back(scan, start, GENERAL, sets["of_it"]))


def _keeps(scan: Scan, at: int) -> bool:
    """Whether a word names what a coin is kept in: `slab`, `Originaletui`, `l'écrin`."""
    word = scan.tok(at).low.rpartition("'")[2]
    return word in scan.lex.sets["keeping"] or (len(word) > ENDS and word.endswith(scan.lex.keeping_ends))


ENDS = 6
"""Letters beyond which a word may be a compound of a holder's name."""


def _elided(low: str) -> bool:
    """`sull'astuccio`, `dell'album`: the preposition is in the word."""
    return "'" in low
