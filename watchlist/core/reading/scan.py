"""One title under reading: its tokens, the lexicon phrases in it, and which words are already spoken for."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterator
from typing import NamedTuple

from watchlist.core.reading.lexicon import MISSPELT, Lexicon
from watchlist.core.reading.phrases import ABBREVIATION
from watchlist.core.reading.record import Span
from watchlist.core.reading.tokens import END, Token, tokens


class Mark(NamedTuple):
    """A lexicon phrase found in a title."""

    start: int
    end: int
    kind: str
    value: str
    lang: str


BREAKS = frozenset(",;!|()")
SHORTEST = 7
"""Letters beyond which a word may be a compound."""
LONGEST_WORD = 24
LONGEST = 3000
"""Characters of one text looked at."""
CAP = 400
"""Tokens of one text looked at; a title has twenty."""


class Scan:
    """Tokens and marks of one text."""

    __slots__ = ("by", "lex", "marks_at", "spans", "text", "them", "unsure", "used", "votes")

    def __init__(self, text: str, lex: Lexicon) -> None:
        self.text = text
        self.lex = lex
        self.them = tokens(text[:LONGEST])[:CAP]
        self.used = bytearray(len(self.them) + 2)
        self.by: dict[str, list[Mark]] = defaultdict(list)
        self.marks_at: dict[int, list[Mark]] = {}
        self.votes: Counter[str] = Counter()
        self.spans: list[Span] = []
        self.unsure: dict[str, None] = {}
        self._mark()

    def _mark(self) -> None:
        at, them, longest, endings = 0, self.them, self.lex.phrases.longest, self.lex.endings
        while at < len(them):
            found = longest(them, at)
            if found is None:
                low = them[at].low
                if len(low) > SHORTEST and endings and low.endswith(endings):
                    self._compound(at, low)
                elif MISSPELT <= len(low) <= LONGEST_WORD and them[at].kind == "w":
                    self._misspelt(at, low)
                at += 1
                continue
            end, senses = found
            marks = [Mark(at, end, sense.kind, sense.value, sense.lang) for sense in senses]
            self.marks_at[at] = marks
            for mark in marks:
                self.by[mark.kind].append(mark)
                if mark.lang:
                    self.votes[mark.lang] += 1
            at = end

    def _misspelt(self, at: int, low: str) -> None:
        """`QUATER`, `scrached`: one letter off a word of the lexicon."""
        senses = () if low in self.lex.grade_words else self.lex.typed(low) or ()
        marks = [Mark(at, at + 1, sense.kind, sense.value, sense.lang) for sense in senses]
        if marks:
            self.marks_at[at] = marks
            for mark in marks:
                self.by[mark.kind].append(mark)

    def _compound(self, at: int, low: str) -> None:
        """`Madonnentaler`: a unit at the end of a longer word."""
        name = next(unit for end, unit in self.lex.suffixes.items() if low.endswith(end))
        mark = Mark(at, at + 1, "unit", name, "de")
        self.marks_at[at] = [mark]
        self.by["unit"].append(mark)
        self.votes["de"] += 1

    def tok(self, at: int) -> Token:
        """A token, or the empty one past either end."""
        return self.them[at] if 0 <= at < len(self.them) else END

    def has(self, at: int, kind: str) -> Mark | None:
        """The mark of a kind that starts at a token."""
        for mark in self.marks_at.get(at, ()):
            if mark.kind == kind:
                return mark
        return None

    def free(self, start: int, end: int) -> bool:
        """Whether no field rests on these tokens yet."""
        return not any(self.used[start:end])

    def take(self, start: int, end: int) -> None:
        """These tokens are spoken for."""
        for at in range(max(start, 0), min(end, len(self.them))):
            self.used[at] = 1

    def rest(self, field: str, start: int, end: int, confidence: float) -> None:
        """A field rests on these tokens."""
        if start < end <= len(self.them):
            begin, stop = self.them[start].start, self.them[end - 1].end
            self.spans.append(Span(field, begin, stop, self.text[begin:stop], round(confidence, 2)))

    def words(self, start: int, end: int) -> str:
        """The text of some tokens as written."""
        return self.text[self.them[start].start : self.them[end - 1].end] if start < end else ""

    def kinds(self, *names: str) -> Iterator[Mark]:
        """Marks of several kinds, in the order of the title."""
        found = [mark for name in names for mark in self.by.get(name, ())]
        return iter(sorted(found))

    def negated(self, start: int, end: int, reach: int = 3) -> bool:
        """A negation stands up to `reach` words before, in the same breath, or a `free` behind."""
        for mark in self.by.get("negation.before", ()):
            if start - reach - 1 <= mark.end - 1 < start and not self._break(mark.end, start):
                return True
        after = self.has(end, "negation.after") or (self.tok(end).low == "-" and self.has(end + 1, "negation.after"))
        return bool(after)

    def hedged(self, start: int, end: int) -> bool:
        """A query behind, or a word of doubt near before or behind."""
        if self.tok(end).low == "?" or (self.tok(end + 1).low == "?" and self.tok(end).kind == "w"):
            return True
        near = [m for m in self.by.get("hedge.words", ()) if start - 3 <= m.end - 1 < start or end <= m.start < end + 2]
        return any(not self._break(min(m.end, end), max(m.start, start)) for m in near)

    def _break(self, start: int, end: int) -> bool:
        return any(self._stop(at) for at in range(start, min(end, len(self.them))))

    def _stop(self, at: int) -> bool:
        """A sign that ends a breath; the stop of an abbreviation does not."""
        low = self.them[at].low
        return low in BREAKS or (low == "." and len(self.tok(at - 1).low) > ABBREVIATION)
