"""The grammar of a grade: `MS-64+`, `f.vz`, `VF/GF`, `Choice XF`, `AU details`, `MS63-64`."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from watchlist.core.reading.vocabulary.gradescales import (
    ORDER,
    OWN,
    Band,
    Scales,
    Words,
    is_figure,
    lower_part,
    upper_part,
)
from watchlist.core.reading.vocabulary.tokens import END, FRACTION, NUMBER, WORD, Token

SPLIT = frozenset({"uk", "scand"})
"""Scales whose slash may part obverse and reverse: the band spans both."""
SPLIT_ANCIENT = SPLIT | {"us"}
"""... and on ancient pieces."""
MOST_SIDES = 3
WIDEST = 15
"""Numbers between the ends of a numbered grade, at most: `MS63-64`, not `VF20-64`."""
AND = frozenset(("a", "e", "y", "u", "and"))
"""Words that part the ends of a grade only where both are of one scale."""
SHORT_AND = frozenset(("e", "y", "u"))
ROMAN_FIGURES = {"i": "1", "ii": "2", "iii": "3", "iv": "4", "v": "5", "vi": "6"}
"""Polish states are written in either figures."""


FIGURES = 2
"""Of such a number; `B-1` is a die."""
AROUND = 5
"""Points that a number behind a grade in words may lie outside its band."""


@dataclass(slots=True)
class Grade:
    """One grade phrase of a title, or one side of it."""

    low: int
    high: int
    start: int
    """First token."""
    end: int
    """Token after the last."""
    scale: str
    token: str
    """The word of that scale, or the prefix of a number."""
    numbered: bool = False
    plus: bool = False
    proof: bool = False
    details: bool = False
    bare: bool = False
    """One short word of at most two letters, without a number: it may be something else."""
    other: Band | None = None
    """The word's band in another scale, where nothing says which is meant."""


class GradeGrammar:
    """Reads grade phrases with one set of scales."""

    def __init__(self, scales: Scales) -> None:
        self.scales = scales

    def at(
        self, them: Sequence[Token], at: int, order: Sequence[str] = (), many: bool = False, ancient: bool = False
    ) -> Grade | None:
        """The grade phrase that starts at a token, or None. `order`: scales the title favours, best first."""
        first = self._side(them, at, order)
        if first is None:
            return None
        sides, signs = [first], [""]
        while len(sides) < MOST_SIDES and (step := self._next_side(them, sides[-1], order, many)):
            signs.append(step[0])
            sides.append(step[1])
        sides = self._one_scale(them, at, sides, order)
        parted = ancient and "/" in signs and sides[0].scale in SPLIT_ANCIENT
        return self._joined(them, at, sides, "/" in signs, many or parted)

    def _one_scale(self, them: Sequence[Token], at: int, sides: list[Grade], order: Sequence[str]) -> list[Grade]:
        """Two sides of different scales are read again in the last one's: `MBC/BELA`, `VF/GF`."""
        if len(sides) == 1 or any(side.numbered for side in sides) or sides[0].scale == sides[-1].scale:
            return sides
        again = self._side(them, at, [sides[-1].scale, *order])
        return [again, *sides[1:]] if again and again.scale == sides[-1].scale and again.end == sides[0].end else sides

    def figure_at(self, them: Sequence[Token], at: int, scale: str = "scand") -> Grade | None:
        """A grade in figures, where the context says they are one: Scandinavian `1+/01`, `0`; Polish `II+`, `2/3`."""
        first = self._figure(them, at, scale)
        if first is None:
            return None
        tied = _token(them, first.end).low in ("/", "-")
        last = self._figure(them, first.end + 1, scale) if tied else None
        return self._joined(them, at, [first, last] if last else [first], True, False)

    def _figure(self, them: Sequence[Token], at: int, scale: str) -> Grade | None:
        word = _token(them, at).low
        if scale == "pl":
            word = ROMAN_FIGURES.get(word, word)
        sign = _token(them, at + 1)
        signed = word + sign.low if sign.glued and sign.low in ("+", "-") else word
        for text, end in ((signed, at + 1 + (signed != word)), (word, at + 1)):
            if band := self.scales.bands.get((scale, text)):
                return Grade(*band, at, end, scale, text)
        return None

    def _next_side(
        self, them: Sequence[Token], last: Grade, order: Sequence[str], many: bool
    ) -> tuple[str, Grade] | None:
        """The sign or word that ties a further side to the last one, and that side."""
        at = last.end
        sign, follows = _token(them, at), _token(them, at + 1)
        tied = sign.low in ("-", "/")
        if not tied and sign.low not in self.scales.to:
            return None
        if tied and last.numbered:
            if is_figure(follows) and 0 < follows.number - last.high <= WIDEST and follows.glued:
                number = follows.number
                return sign.low, Grade(number, number, at + 1, at + 2, last.scale, last.token, numbered=True)
            if sign.low == "-" and not follows.glued:
                return None
        scales = [last.scale, *order]
        side = self._side(them, at + 1, scales)
        if side is None or (sign.low in AND and side.scale != last.scale):
            return None
        return (sign.low, side) if not side.bare or _bare_belongs(them, at, side, scales, many) else None

    def _side(self, them: Sequence[Token], at: int, order: Sequence[str]) -> Grade | None:
        found = self._longest(them, at)
        moved = self._moved(them, at, order)
        if moved is not None and (found is None or moved.end > found[0]):
            return moved
        return self._said(them, at, found, order)

    def _moved(self, them: Sequence[Token], at: int, order: Sequence[str]) -> Grade | None:
        """`fast vz`, `presque SUP`, `gutes ss`, `avg VF`: a word that moves the grade behind it."""
        word = _token(them, at)
        if word.low not in self.scales.moves or (len(word.low) == 1 and word.text != word.low):
            return None
        here = at + 1 + (_token(them, at + 1).low == ".")
        side = self._said(them, here, self._longest(them, here), order)
        return side if side is None or side.numbered else self._shifted(side, word.low)

    def _longest(self, them: Sequence[Token], at: int) -> tuple[int, Words] | None:
        return self.scales.longest(them, at) if at < len(them) else None

    def _said(
        self, them: Sequence[Token], at: int, found: tuple[int, Words] | None, order: Sequence[str]
    ) -> Grade | None:
        """The grade that a phrase found at a token says, with its number where it is a prefix."""
        if found is None:
            return None
        end, words = found
        numbered = self._numbered(them, at, end, words["prefix"]) if "prefix" in words else None
        return numbered or self._worded(them, at, end, words, order)

    def _shifted(self, side: Grade, word: str) -> Grade | None:
        """A grade moved by the word before it; None where a short one is too unsure to be moved by that word."""
        near, upper = word in self.scales.near, word in self.scales.upper
        if side.bare and not (upper or (near and len(word) > 1)):
            return None
        band = (side.low, side.high)
        if near:
            band = self.scales.near_band(side.scale, band)
        elif upper:
            band = upper_part(band)
        side.low, side.high, side.bare = *band, False
        return side

    def _numbered(self, them: Sequence[Token], at: int, end: int, prefix: str) -> Grade | None:
        """A prefix with its number: `MS-65`, `vf30`, `Fair-2`, `Proof 68`."""
        here = end + (_token(them, end).low in ("-", ".", "/", ":"))
        figure = _token(them, here)
        if not is_figure(figure):
            return None
        low, high = self.scales.prefix[prefix]
        if not low <= figure.number <= high or (them[at].low == "p" and figure.number != 1):
            return None
        after = _token(them, here + 1)
        if (after.glued and after.low in ("%", "½", "°")) or (after.kind == FRACTION):
            return None
        plus = (after.low == "+" and after.glued) or after.low == "plus"
        grade = Grade(figure.number, figure.number, at, here + 1 + plus, "us", prefix, numbered=True, plus=plus)
        grade.proof = prefix in self.scales.proof
        grade.bare = len(prefix) == 1 and not figure.glued
        return grade

    def _worded(self, them: Sequence[Token], at: int, end: int, words: Words, order: Sequence[str]) -> Grade | None:
        allowed = {
            scale: token
            for scale, token in words.items()
            if scale != "prefix" and (scale == OWN or end - at > 1 or self._case(them, at, token))
        }
        if not allowed:
            return None
        scale = next(s for s in (OWN, *order, *ORDER, *allowed) if s in allowed)
        token = allowed[scale]
        band, sign = self.scales.bands[scale, token], _token(them, end)
        stated = _stated(them, end, band) if scale not in ("us", "uk", OWN) else 0
        if stated:
            number = them[stated].number
            return Grade(number, number, at, stated + 1, scale, token, numbered=True)
        if sign.glued and sign.low in ("+", "-"):
            band, end = self._signed(them, end, scale, token, band)
        others = {self.scales.bands[s, t] for s, t in allowed.items() if s not in ("uk", "us")} - {band}
        other = next(iter(others), None) if scale not in order and scale not in ("us", "uk", OWN) else None
        bare = len(them[at].low) <= 2 and end - at == 1 and scale != OWN
        return Grade(*band, at, end, scale, token, bare=bare, other=other)

    def _case(self, them: Sequence[Token], at: int, token: str) -> bool:
        """A short token counts only as it is written in its scale: `s` is no mint mark, `B` no word."""
        spelt = self.scales.written.get(them[at].low) if token == them[at].low else None
        return spelt is None or them[at].text in spelt

    def _signed(self, them: Sequence[Token], at: int, scale: str, token: str, band: Band) -> tuple[Band, int]:
        """A plus or minus behind a word: the scale's own band for it, else a part of the band. `++` is praise."""
        sign, after = them[at].low, _token(them, at + 1)
        if sign == "-" and after.glued and (after.kind in (WORD, NUMBER) or after.low in ("-", "/")):
            return band, at
        if sign == "+" and after.low == "+" and after.glued:
            end = at + 2
            while _token(them, end).low == "+":
                end += 1
            return band, end
        if known := self.scales.bands.get((scale, token + sign)):
            return known, at + 1
        if after.low == "?":
            return band, at + 1
        return (upper_part(band) if sign == "+" else lower_part(band)), at + 1

    def _joined(self, them: Sequence[Token], at: int, sides: list[Grade], slashed: bool, many: bool) -> Grade:
        """All sides as one grade; `slashed`: a slash parts them, `many`: they are of several pieces."""
        grade = sides[0]
        if len(sides) > 1:
            low, high = self._band(sides, slashed, many)
            grade = Grade(low, high, at, sides[-1].end, grade.scale, grade.token)
            grade.numbered = all(side.numbered for side in sides)
            grade.plus = any(side.plus for side in sides)
            grade.proof = any(side.proof for side in sides)
        grade.start = at
        self._trailing(them, grade)
        return grade

    def _band(self, sides: list[Grade], slashed: bool, many: bool) -> Band:
        whole = (min(side.low for side in sides), max(side.high for side in sides))
        if many or any(side.numbered for side in sides):
            return whole
        first, last = sorted((sides[0], sides[-1]), key=lambda side: (side.low, side.high))
        if (slashed and sides[0].scale in SPLIT) or first.high > last.low:
            return whole
        joined = self.scales.bands.get((first.scale, f"{first.token}-{last.token}"))
        return joined or (first.high, last.low)

    def _trailing(self, them: Sequence[Token], grade: Grade) -> None:
        """`details`, `or better`, a query: they belong to the grade's words."""
        here = grade.end
        if _token(them, here).low == "?":
            grade.end = here + 1
        step = here + 1 if _token(them, here).low in ("-", ",", "(") else here
        if _token(them, step).low in self.scales.details:
            grade.details, grade.end = True, step + 1
            if _token(them, grade.end).low == "." and _token(them, grade.end).glued:
                grade.end += 1
            return
        if _token(them, here).low not in self.scales.open_first:
            return
        for words in self.scales.open:
            if tuple(token.low for token in them[here : here + len(words)]) == words:
                grade.end = here + len(words)


def _bare_belongs(them: Sequence[Token], at: int, side: Grade, scales: Sequence[str], many: bool) -> bool:
    """Whether a short word behind a sign is the other end of a grade, and no mint mark or word of the seller's."""
    sign, word = them[at], them[at + 1]
    if len(word.low) == 1 and side.scale not in scales:
        return False
    if sign.low == "-":
        return sign.glued or _token(them, side.end).low in ("", ",", ".", ")")
    return sign.low == "/" or (sign.low not in SHORT_AND and (len(word.low) > 1 or many))


def _token(them: Sequence[Token], at: int) -> Token:
    return them[at] if 0 <= at < len(them) else END


def _stated(them: Sequence[Token], at: int, band: Band) -> int:
    """Where the number stands that says a grade in words on the scale of 70, in or near its band: `SUP 58`, `TTB-35`;
    0 where none does."""
    tied = _token(them, at).low == "-" and _token(them, at).glued
    figure = _token(them, at + tied)
    near = is_figure(figure) and len(figure.low) == FIGURES and band[0] - AROUND <= figure.number <= band[1] + AROUND
    return at + tied if near and figure.glued == tied else 0
