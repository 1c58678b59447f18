"""Catalogues that list a coin by the year of its own era: `1293` of the hijra, `121` of Rattanakosin, `30` of Meiji.

A title gives that year, the western one, or both."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from watchlist.core.folding import folded

SHARE = 0.25
"""A western year and one of an era are taken for one another where they share more of the year than this."""


@dataclass(frozen=True, slots=True)
class Era:
    """A reckoning: its year n begins at `base + slope * n`, in western years."""

    base: float
    first: int
    last: int
    """Years that pieces are dated by."""
    slope: float = 1.0

    def shares(self, number: int, western: int) -> float:
        """How much of a western year a year of the era covers, 0 to 1."""
        start = self.base + self.slope * number
        return max(0.0, min(start + self.slope, western + 1) - max(start, western))


ERAS: Mapping[str, Era] = {
    "hijri": Era(621.5774, 1, 1500, 0.970224), "solar": Era(621.22, 1200, 1420), "rattanakosin": Era(1781.25, 1, 240),
    "buddhist": Era(-543.0, 2300, 2650), "chula": Era(638.25, 1000, 1320), "vikram": Era(-57.0, 1700, 2150),
    "ethiopian": Era(7.7, 1850, 2050), "minguo": Era(1911.0, 1, 140), "meiji": Era(1867.0, 1, 45),
    "taisho": Era(1911.0, 1, 15), "showa": Era(1925.0, 1, 64), "heisei": Era(1988.0, 1, 31),
}  # fmt: skip
"""Common tables of eras; the start of a year to the month."""
_SHORT = {"ah": "hijri", "sh": "solar", "rs": "rattanakosin", "be": "buddhist", "cs": "chula", "vs": "vikram",
          "ee": "ethiopian"}  # fmt: skip
_WORDS = {"hijri": "hijri", "hegire": "hijri", "hijra": "hijri", "solar hijri": "solar", "samvat": "vikram",
          "buddhist": "buddhist", "民國": "minguo", "民国": "minguo", "明治": "meiji", "大正": "taisho",
          "昭和": "showa", "平成": "heisei", "rattanakosin": "rattanakosin", "minguo": "minguo", "meiji": "meiji",
          "taisho": "taisho", "showa": "showa", "heisei": "heisei"}  # fmt: skip
_NAMES = {**_SHORT, **_WORDS}
_LONG = "|".join(sorted(_WORDS, key=len, reverse=True))
_ABBR = "|".join(rf"{short[0]}\.?{short[1]}" for short in _SHORT)
_ANY = f"{_LONG}|{_ABBR}"
_TOLD = re.compile(  # `AH dated`, `dates are AH`, `Meiji`: an abbreviation needs a word that says it is an era
    rf"\b(?:({_LONG.replace('|samvat', '')})\b|({_ANY})\b\.? ?(?:dated?s?\b|years?\b|era\b|calendar\b)"
    rf"|(?:dated?s?|years?|era)(?: are| is| in| by)? ({_ANY})\b)|^({_ABBR})\.?$"
)
_TITLE = re.compile(rf"\b({_LONG}|{_ABBR})\.?(?: era| year)? ?(\d{{1,4}})(?!\d)|(?<![\d.,/-])(\d{{2,4}}) ?({_ABBR})\b")


def told_era(text: str, year: int) -> str:
    """The era that a note or a type says a coin of this year is dated by: `AH dated`, `Meiji`; else empty."""
    if not text:
        return ""
    found = {_name(next(filter(None, hit.groups()))) for hit in _TOLD.finditer(folded(text))}
    found |= {name for name, number, _, _ in written(text) if number == year}
    return found.pop() if len(found) == 1 else ""


def written(text: str) -> Iterator[tuple[str, int, int, int]]:
    """Years with the name of an era in a text: era, year, start and end of both."""
    for hit in _TITLE.finditer(folded(text)):
        yield _name(hit[1] or hit[4]), int(hit[2] or hit[3]), hit.start(), hit.end()


def western(text: str) -> Iterable[str]:
    """A typed coin with its era year as the catalogue may list it: the bare number, then the western year."""
    for name, number, start, end in written(text):
        era = ERAS[name]
        year = max((int(era.base + era.slope * number) + step for step in (0, 1)), key=lambda y: era.shares(number, y))
        early = int(era.base + era.slope * number)
        for each in dict.fromkeys((number, early, year)):
            yield f"{text[:start]}{each}{' AD' if each < 100 else ''}{text[end:]}"


def _name(text: str) -> str:
    return _NAMES[text.replace(".", "")]
