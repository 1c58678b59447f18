"""What bears a fault that is told: the piece itself, or nothing, its holder, other pieces, the post.

Looked at only where a fault is named, breath by breath: a fault is left out where it is denied (`free of scratches,
nicks and cleaning`), where a holder bears it (`Kratzer auf der Kapsel`), or where the words speak of terms of sale
(`damaged coins cannot be returned`).
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from watchlist.core.reading.scanning.breaths import STOPS, Breaths
from watchlist.core.reading.scanning.scan import Scan

Place = tuple[int, int]
"""The tokens of a fault: the first, and the one behind the last."""
NEAR, FAR = 3, 7
"""Words between a negation and what it denies, at most, in a title and in a description: `no sign at all of any old
cleaning`, up to a `but`."""
OF_HOLDER, OF_HOLDER_TITLE = 12, 3
"""Words between a holder and its fault, at most, in a description and in a title."""
BEHIND = 5
"""Words between a fault and the preposition that gives it to a holder: `scratches, only on the slab`."""
GENERAL = 4
"""Words between pieces in general and their fault: `coins that have been cleaned`."""
LINK = 3
"""Tokens between two faults of one list, at most: `scratches or any nicks`."""
SENTENCE = 5
"""Fewest words of terms that go on behind a comma."""
ENDS = 6
"""Letters beyond which a word may be a compound of a holder's name."""


def not_its_own(scan: Scan, places: Sequence[Place], single: bool) -> set[int]:
    """Where the faults start that are not the piece's. `places`: of all faults told, in order; `single`: one piece is
    sold, so that faults of pieces in general are no faults of its."""
    faults = _Faults(scan, single)
    out: set[int] = set()
    for run in faults.lists(places):
        if faults.is_none(*run[0]) or scan.answered_no(run[-1][1]):  # `Holed and plugged? Neither.`
            out.update(start for start, _ in run)
        else:
            out.update(start for start, end in run[1:] if faults.is_none(start, end))
    return out


class _Faults:
    """The faults of one text."""

    def __init__(self, scan: Scan, single: bool) -> None:
        self.scan = scan
        self.breaths = Breaths(scan)
        self.sets: Mapping[str, frozenset[str]] = scan.lex.sets
        self.single = single
        self.denials = {mark.end - 1 for mark in scan.by.get("negation.before", ())} if scan.quiet else set()

    def lists(self, places: Sequence[Place]) -> Iterator[list[Place]]:
        """Faults that stand in one list, such as `scratches, nicks or cleaning`, together; each other one alone."""
        at = 0
        while at < len(places):
            last, here = at, at
            while here + 1 < len(places) and (link := self._link(places[here][1], places[here + 1][0])):
                here += 1
                last = here if link != "," else last
            yield list(places[at : last + 1])
            at = last + 1

    def _link(self, start: int, end: int) -> str:
        """What ties two faults of a list: `,`, `and` or `or`; empty where nothing does."""
        lows = self._lows(range(start, end))
        if not 0 < len(lows) <= LINK or not STOPS.isdisjoint(lows):
            return ""
        if not self.sets["list_or"].isdisjoint(lows):
            return "or"
        words = [low for low in lows if low != ","]
        if words and self.sets["and"].issuperset(words):
            return "and"
        return "," if not words else ""

    def is_none(self, start: int, end: int) -> bool:
        """Whether a fault is denied, or something else's."""
        if self._is_denied(start, end) or self._is_of_holder(start) or self._is_on_holder(end):
            return True
        return self.scan.quiet and (self._is_in_terms(start) or (self.single and self._is_of_any(start, end)))

    def _lows(self, places: Sequence[int]) -> list[str]:
        return [self.scan.them[at].low for at in places]

    def _is_denied(self, start: int, end: int) -> bool:
        """`never holed`, `holed? no`, `scratches: none`, `no trace whatever of a cleaning`."""
        scan = self.scan
        asked = end + (scan.tok(end).text.islower() and scan.tok(end + 1).low == "?")  # `bent rim? no`
        if scan.negated(start, end, 0 if scan.quiet else NEAR) or scan.answered_no(asked):
            return True
        colon = scan.tok(end).low == ":"
        if scan.has(end + colon, "negation.before") and (colon or scan.tok(end + 1).low in STOPS):  # `Scratches none.`
            return True
        for at in self.breaths.before(start, FAR) if self.denials else ():
            if at in self.denials:
                return True
            if scan.them[at].low in self.sets["but"]:
                break
        return False

    def _is_of_holder(self, start: int) -> bool:
        """`the holder has light scratches`, `Etui verkratzt`; but `in holder, scratched`, `slab AU details cleaned`."""
        scan, sets = self.scan, self.sets
        for at in self.breaths.before(start, OF_HOLDER if scan.quiet else OF_HOLDER_TITLE):
            low = scan.them[at].low
            if low in sets["of_it"] or low in sets["says"] or low in scan.lex.prefixes:
                return False
            if self._keeps(low):
                first = self.breaths.bounds(at)[0]
                first += scan.them[first].low in sets["article"]
                before = self._lows(range(max(at - 3, first), at))
                return sets["inside"].isdisjoint(before) and sets["onto"].isdisjoint(before[-2:])
        return False

    def _is_on_holder(self, end: int) -> bool:
        """`scratches on the holder`, `Kratzer auf der Kapsel`, `scuffed slab`."""
        behind = self._lows(self.breaths.behind(end, 2 * BEHIND + 1))
        named = bool(behind) and behind[0] in self.scan.lex.services  # `a broken HNS holder`
        if behind[named:] and self._keeps(behind[named]):
            return True
        for at, low in enumerate(behind[:BEHIND]):
            if low in self.sets["says"]:  # `damage noted on the label`
                return False
            if low in self.sets["onto"] or "'" in low:
                return any(map(self._keeps, behind[at : at + BEHIND + 1]))
        return False

    def _is_in_terms(self, start: int) -> bool:
        """`returns accepted if damaged`, `keine Haftung bei Beschädigung`; the terms may go on behind a comma, unless
        they are as short as `no returns`."""
        terms, here = self.sets["terms"], self.breaths.bounds(start)
        if not terms.isdisjoint(self._lows(range(*here))):
            return True
        if self.scan.tok(here[0] - 1).low != "," or not self.sets["of_it"].isdisjoint(
            self._lows(range(here[0], start))
        ):
            return False
        before = self._lows(range(*self.breaths.bounds(here[0] - 2))) if here[0] > 1 else []
        return len(before) >= SENTENCE and not terms.isdisjoint(before)

    def _is_of_any(self, start: int, end: int) -> bool:
        """`coins that have been cleaned`, `polished fakes`, `usually holed`."""
        if self.scan.tok(end).low in self.sets["in_general"]:
            return True
        for low in self._lows(self.breaths.before(start, GENERAL)):
            if low in self.sets["of_it"]:
                return False
            if low in self.sets["in_general"] or low in self.sets["mostly"]:
                return True
        return False

    def _keeps(self, low: str) -> bool:
        """Whether a word names what a coin is kept in: `slab`, `Originaletui`, `l'écrin`."""
        word = low.rpartition("'")[2]
        return word in self.sets["keeping"] or (len(word) > ENDS and word.endswith(self.scan.lex.keeping_ends))
