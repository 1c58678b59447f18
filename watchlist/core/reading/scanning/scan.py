"""One title under reading: its tokens, the lexicon phrases in it, and which words are already spoken for."""

from __future__ import annotations

import re
from collections import Counter, defaultdict
from collections.abc import Container, Iterator, Sequence
from typing import NamedTuple

from watchlist.core.reading.record import DESCRIPTION, TITLE, Span
from watchlist.core.reading.scanning.runtogether import parted
from watchlist.core.reading.vocabulary.lexicon import Lexicon
from watchlist.core.reading.vocabulary.phrases import ABBREVIATION
from watchlist.core.reading.vocabulary.strangewords import Sense
from watchlist.core.reading.vocabulary.tokens import END, WORD, Token, tokens


class Mark(NamedTuple):
    """A lexicon phrase found in a title."""

    start: int
    end: int
    kind: str
    value: str
    lang: str


_new = tuple.__new__
BREAKS = frozenset(",;!|()")
LONGEST = 3000
"""Characters of one text looked at."""
CAP = 400
"""Tokens of one text looked at; a title has twenty."""
WORD_BY_WORD = re.compile(r"\S+")
KEPT, KEPT_LETTERS = 20_000, 40
"""Words that are kept cut up, and the letters of one, at most: sellers use the same ones again and again."""
BEYOND = [END] * 16
"""Stands behind the last token and, by negative places, before the first: nothing looks further back."""
TAKEN = b"\x01"
SILENT: Counter[str] = Counter()
"""No language; never added to."""


class Scan:
    """Tokens and marks of one text."""

    __slots__ = (
        "by", "lex", "lows", "marks_at", "padded", "place", "quiet", "spans", "text", "them", "used", "votes",
        "words_at",
    )  # fmt: skip

    def __init__(
        self, text: str, lex: Lexicon, *, place: str = TITLE, quiet: bool = False, heard: Counter[str] = SILENT
    ) -> None:
        """`place`: where the text stands; `quiet`: mostly talk, and quiet of the piece itself, as a description is;
        `heard`: the languages of the texts and headings beside it, believed where its own words speak for none."""
        self.place = place
        self.quiet = quiet or place == DESCRIPTION
        self.text = text
        self.lex = lex
        self.them: list[Token] = []
        self.words_at: list[int] = []
        """Where in the text the word begins that each token is of."""
        self._cut(text[:LONGEST])
        self.used = bytearray(len(self.them) + 2)
        self.by: dict[str, list[Mark]] = defaultdict(list)
        self.marks_at: dict[int, list[Mark]] = {}
        self.votes: Counter[str] = Counter()
        self.spans: list[Span] = []
        self.padded = self.them + BEYOND
        self.lows = {token.low for token in self.them}
        self._mark()
        if heard:
            self._listen(heard)

    def _listen(self, heard: Counter[str]) -> None:
        """The languages beside a text speak where its own words are silent, or decide where two are heard alike."""
        most = max(self.votes.values(), default=0)
        alike = [lang for lang, count in self.votes.items() if count == most]
        if len(alike) != 1:
            self.votes += Counter({lang: n for lang, n in heard.items() if not alike or lang in alike})

    def _cut(self, text: str) -> None:
        """A word between blanks is cut up alike wherever it stands."""
        for found in WORD_BY_WORD.finditer(text):
            word = found[0]
            parts = self.lex.cut.get(word) or _parts(word, self.lex)
            self.them += parts
            self.words_at += [found.start()] * len(parts)
            if len(self.them) > CAP:
                del self.them[CAP:]
                return

    def _mark(self) -> None:
        at, them, lex = 0, self.them, self.lex
        longest, root, strange, count = lex.phrases.longest, lex.phrases.root, lex.strange.senses, len(them)
        while at < count:
            token, end = them[at], at + 1
            low = token.low
            if low in root:
                if found := longest(them, at):
                    end, senses = found
                    self._put(at, end, senses, senses if low not in lex.mute else ())
            elif token.kind == WORD and (odd := strange[low]):
                self._put(at, end, odd, odd[:1] if odd[0].kind == "unit" else ())
            at = end

    def _put(self, start: int, end: int, senses: Sequence[Sense], heard: Sequence[Sense]) -> None:
        """The senses of some tokens, as marks; those heard speak for their language."""
        self.marks_at[start] = marks = []
        for kind, value, lang in senses:
            mark = _new(Mark, (start, end, kind, value, lang))
            marks.append(mark)
            self.by[kind].append(mark)
        votes = self.votes
        for sense in heard:
            if lang := sense.lang:
                votes[lang] = votes.get(lang, 0) + 1

    def tok(self, at: int) -> Token:
        """A token, or the empty one past either end."""
        try:
            return self.padded[at]
        except IndexError:
            return END

    def has(self, at: int, kind: str) -> Mark | None:
        """The mark of a kind that starts at a token."""
        for mark in self.marks_at.get(at, ()):
            if mark.kind == kind:
                return mark
        return None

    def plural(self, mark: Mark) -> bool:
        """Whether a coin is named in the plural: its last word has an `s` that its singular, known too, has not."""
        word = self.them[mark.end - 1].low
        return len(word) > 4 and word[-1] == "s" and word[-2] != "s" and word[:-1] in self.lex.phrases.root

    def says(self, name: str) -> bool:
        """Whether a word of a set stands anywhere in the text."""
        return not self.lows.isdisjoint(self.lex.sets[name])

    def past(self, at: int, words: Container[str]) -> int:
        """The first place from a token on that holds none of these words and signs."""
        while self.tok(at).low in words:
            at += 1
        return at

    def told(self, kind: str) -> Iterator[Mark]:
        """Marks of a kind that no field rests on yet and nothing denies, as `never holed` and `holed? no` do."""
        for mark in self.by.get(kind, ()):
            if not (self.used[mark.start] or self.negated(mark.start, mark.end) or self.answered_no(mark.end)):
                yield mark

    def answered_no(self, end: int) -> bool:
        """`cleaned? no`, `QCG? not sent in`: a question, and its answer behind it."""
        return self.tok(end).low == "?" and self.has(end + 1, "negation.before") is not None

    def free(self, start: int, end: int) -> bool:
        """Whether no field rests on these tokens yet."""
        return 1 not in self.used[start:end]

    def take(self, start: int, end: int) -> None:
        """These tokens are spoken for."""
        start, end = max(start, 0), min(end, len(self.them))
        if start < end:
            self.used[start:end] = TAKEN * (end - start)

    def rest(self, field: str, start: int, end: int, confidence: float) -> None:
        """A field rests on these tokens."""
        if start < end <= len(self.them):
            begin, stop = self.begin(start), self.end(end - 1)
            self.spans.append(Span(field, begin, stop, self.text[begin:stop], confidence, self.place))

    def begin(self, at: int) -> int:
        """Where a token begins in the text."""
        return self.words_at[at] + self.them[at].start

    def end(self, at: int) -> int:
        """Where it ends."""
        return self.words_at[at] + self.them[at].end

    def words(self, start: int, end: int) -> str:
        """The text of some tokens as written."""
        return self.text[self.begin(start) : self.end(end - 1)] if start < end else ""

    def kinds(self, *names: str) -> Sequence[Mark]:
        """Marks of several kinds, in the order of the title."""
        if self.by.keys().isdisjoint(names):
            return ()
        return sorted(mark for name in names for mark in self.by.get(name, ()))

    def denied(self, start: int, reach: int) -> bool:
        """A negation stands up to `reach` words before, in the same breath; the answer to a query is none."""
        for mark in self.by.get("negation.before", ()):
            if start - reach <= mark.end <= start and not self._break(mark.end, start):
                return self.tok(mark.start - 1).low != "?"
        return False

    def negated(self, start: int, end: int, reach: int = 3) -> bool:
        """A negation stands up to `reach` words before, in the same breath, or a `free` behind."""
        if self.denied(start, reach):
            return True
        step = end + (self.tok(end).low in ("-", ",", "("))
        return "negation.after" in self.by and self.has(step, "negation.after") is not None

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


def _parts(word: str, lex: Lexicon) -> list[Token]:
    """The tokens of one word."""
    them = parted(tokens(word)[:CAP], lex)
    if len(word) <= KEPT_LETTERS:
        if len(lex.cut) >= KEPT:
            lex.cut.clear()
        lex.cut[word] = them
    return them
