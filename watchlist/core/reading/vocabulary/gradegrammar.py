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
from watchlist.core.reading.vocabulary.tokens import END, FRACTION, NUMBER, SIGN, WORD, Token

SPLIT = frozenset({"uk", "scand"})
"""Scales whose slash may part obverse and reverse: the band spans both."""
SPLIT_ANCIENT = SPLIT | {"us"}
"""... and on ancient pieces."""


ROMAN_FIGURES = {"i": "1", "ii": "2", "iii": "3", "iv": "4", "v": "5", "vi": "6"}
"""Polish states are written in either figures."""


@dataclass(slots=True)
class Grade:
    """One grade phrase of a title. `low` and `high` are None for a bare proof word."""

    low: int | None
    high: int | None
    start: int
    """First token."""
    end: int
    """Token after the last."""
    scale: str
    numbered: bool = False
    plus: bool = False
    proof: bool = False
    details: bool = False
    bare: bool = False
    """One short word of at most two letters, without a number: it may be something else."""
    ambiguous: bool = False
    """The word has another band in another scale, and nothing says which is meant."""
    other: Band | None = None


@dataclass(slots=True)
class _Side:
    low: int
    high: int
    end: int
    scale: str
    token: str
    numbered: bool = False
    plus: bool = False
    proof: bool = False
    bare: bool = False
    other: Band | None = None


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
        sides, separators, end = [first], [], first.end
        while len(sides) < 3 and (step := self._next_side(them, end, order, sides[-1], many)):
            separator, side = step
            sides.append(side)
            separators.append(separator)
            end = side.end
        sides = self._one_scale(them, at, sides, order)
        parted = ancient and "/" in separators and sides[0].scale in SPLIT_ANCIENT
        return self._joined(them, at, sides, separators, many or parted)

    def _one_scale(self, them: Sequence[Token], at: int, sides: list[_Side], order: Sequence[str]) -> list[_Side]:
        """Two sides of different scales are read again in the last one's: `MBC/BELA`, `VF/GF`."""
        if len(sides) == 1 or any(side.numbered for side in sides) or sides[0].scale == sides[-1].scale:
            return sides
        again = self._side(them, at, [sides[-1].scale, *order])
        return [again, *sides[1:]] if again and again.scale == sides[-1].scale and again.end == sides[0].end else sides

    def figure_at(self, them: Sequence[Token], at: int, scale: str = "scand") -> Grade | None:
        """A grade in figures, where the context says they are one: Scandinavian `1+/01`, `0`; Polish `II+`, `2/3`."""
        sides, end = [], at
        while side := self._figure(them, end, scale):
            sides.append(side)
            end = side.end
            if _token(them, end).low not in ("/", "-") or len(sides) == 2:
                break
            end += 1
        if not sides:
            return None
        return self._joined(them, at, sides, ["/"] * (len(sides) - 1), False)

    def _figure(self, them: Sequence[Token], at: int, scale: str) -> _Side | None:
        word = _token(them, at).low
        if scale == "pl":
            word = ROMAN_FIGURES.get(word, word)
        sign = _token(them, at + 1)
        signed = word + sign.low if sign.glued and sign.low in ("+", "-") else word
        for text, end in ((signed, at + 1 + (signed != word)), (word, at + 1)):
            if band := self.scales.bands.get((scale, text)):
                return _Side(*band, end, scale, text)
        return None

    def _next_side(
        self, them: Sequence[Token], at: int, order: Sequence[str], last: _Side, many: bool
    ) -> tuple[str, _Side] | None:
        sign = _token(them, at)
        if (sign.low not in "-/" and sign.low not in self.scales.to) or not sign.low:
            return None
        if sign.low in "-/":
            follows = _token(them, at + 1)
            if last.numbered and is_figure(follows) and 0 < follows.number - last.high <= 15 and follows.glued:
                return sign.low, _Side(follows.number, follows.number, at + 2, last.scale, last.token, numbered=True)
            if last.numbered and sign.low == "-" and not follows.glued:
                return None
        side = self._side(them, at + 1, [last.scale, *order])
        if (
            side is None
            or (
                side.bare
                and sign.low not in "-/"
                and ((len(them[at + 1].low) < 2 and not many) or sign.low in ("e", "y", "u"))
            )
            or (
                sign.low == "-"
                and side.bare
                and not sign.glued
                and _token(them, side.end).low not in ("", ",", ".", ")")
            )
        ):
            return None
        if sign.low not in "-/" and sign.low in ("a", "e", "y", "u", "and") and side.scale != last.scale:
            return None
        if side.bare and len(_token(them, at + 1).low) == 1 and side.scale not in (last.scale, *order):
            return None
        return sign.low, side

    def _side(self, them: Sequence[Token], at: int, order: Sequence[str]) -> _Side | None:
        if at >= len(them):
            return None
        found = self.scales.longest(them, at)
        moved = self._moved(them, at, order)
        if moved is not None and (found is None or moved.end > found[0]):
            return moved
        if found is None:
            return None
        end, words = found
        if "prefix" in words and (numbered := self._numbered(them, at, end, words["prefix"])):
            return numbered
        return self._worded(them, at, end, words, order)

    def _moved(self, them: Sequence[Token], at: int, order: Sequence[str]) -> _Side | None:
        """`fast vz`, `presque SUP`, `gutes ss`, `avg VF`: a word that moves the grade behind it."""
        word = them[at]
        near, upper = word.low in self.scales.near, word.low in self.scales.upper
        if not near and not upper and word.low not in self.scales.average:
            return None
        here = at + 1
        if _token(them, here).low == ".":
            here += 1
        found = self.scales.longest(them, here) if here < len(them) else None
        if found is None:
            return None
        if len(word.low) == 1 and word.text != word.low:
            return None
        end, words = found
        if "prefix" in words and (side := self._numbered(them, here, end, words["prefix"])):
            return side
        moved = self._worded(them, here, end, words, order)
        if moved is None or (moved.bare and not ((near and len(word.low) > 1) or upper)):
            return None
        band = (moved.low, moved.high)
        if near:
            band = self.scales.near_band(moved.scale, band)
        elif upper:
            band = upper_part(band)
        moved.low, moved.high, moved.bare = *band, False
        return moved

    def _numbered(self, them: Sequence[Token], at: int, end: int, prefix: str) -> _Side | None:
        """A prefix with its number: `MS-65`, `vf30`, `Fair-2`, `Proof 68`."""
        here = end
        sign = _token(them, here)
        if sign.low in ("-", ".", "/", ":") and sign.kind == SIGN and sign.low:
            here += 1
        figure = _token(them, here)
        if not is_figure(figure):
            return None
        low, high = self.scales.prefix[prefix]
        if not low <= figure.number <= high or (them[at].low == "p" and figure.number != 1):
            return None
        after = _token(them, here + 1)
        if (after.glued and after.low in ("%", "½", "°")) or (after.kind == FRACTION):
            return None
        proof = prefix in self.scales.proof
        plus = (after.low == "+" and after.glued) or after.low == "plus"
        bare = len(prefix) == 1 and not figure.glued
        return _Side(
            figure.number,
            figure.number,
            here + 1 + plus,
            "us",
            prefix,
            numbered=True,
            plus=plus,
            proof=proof,
            bare=bare,
        )

    def _worded(self, them: Sequence[Token], at: int, end: int, words: Words, order: Sequence[str]) -> _Side | None:
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
        if sign.glued and sign.low in ("+", "-"):
            band, end = self._signed(them, end, scale, token, band)
        others = {self.scales.bands[s, t] for s, t in allowed.items() if s not in ("uk", "us")} - {band}
        other = next(iter(others), None) if scale not in order and scale not in ("us", "uk", OWN) else None
        bare = len(them[at].low) <= 2 and end - at == 1 and scale != OWN
        return _Side(*band, end, scale, token, bare=bare, other=other)

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

    def _joined(self, them: Sequence[Token], at: int, sides: list[_Side], separators: list[str], many: bool) -> Grade:
        end = sides[-1].end
        low, high = self._band(sides, separators, many)
        grade = Grade(low, high, at, end, sides[0].scale)
        grade.numbered = all(side.numbered for side in sides)
        grade.plus = any(side.plus for side in sides)
        grade.proof = any(side.proof for side in sides)
        grade.bare = len(sides) == 1 and sides[0].bare
        grade.other = sides[0].other if len(sides) == 1 else None
        grade.ambiguous = grade.other is not None
        self._trailing(them, grade)
        return grade

    def _band(self, sides: list[_Side], separators: list[str], many: bool) -> Band:
        whole = (min(side.low for side in sides), max(side.high for side in sides))
        if len(sides) == 1 or many or all(side.numbered for side in sides):
            return whole
        numbered = [side for side in sides if side.numbered]
        if numbered:
            return whole
        first, last = sorted((sides[0], sides[-1]), key=lambda side: (side.low, side.high))
        if ("/" in separators and sides[0].scale in SPLIT) or first.high > last.low:
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


def _token(them: Sequence[Token], at: int) -> Token:
    return them[at] if 0 <= at < len(them) else END
