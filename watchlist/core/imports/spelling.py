"""Names of a file that are nearly those of the catalogue, and the names that the person has joined.

`Brundall` beside a catalogue of Brundal makes no new country by itself: the person is asked, and a join settles it.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from difflib import SequenceMatcher
from typing import Literal

from watchlist.core.coins.catalogue import Catalogue
from watchlist.core.coins.index import same_country
from watchlist.core.coins.issue import bare_words

What = Literal["country", "denomination", "mint"]
Joins = Mapping[str, Mapping[str, str]]
"""For country, denomination and mint: a spelling in bare words, and the catalogue's own name for it."""

ALIKE = 0.75
"""From this likeness on two names may be one: `Brundall` and `Brundal`."""
SHORTEST = 4
"""Letters of a name that can be misspelt: of two marks or short units each is its own."""
FIGURES = re.compile(r"[\d/]+")


@dataclass(frozen=True, slots=True)
class Likeness:
    """A name of a file, and the one of the catalogue that it is nearly."""

    what: What
    written: str
    meant: str

    def __str__(self) -> str:
        return f"{self.what} `{self.written}` is not in your catalogue, which has {self.meant}"

    @property
    def command(self) -> str:
        """What joins them."""
        return f'watchlist catalogue join "{self.written}" "{self.meant}"'


def joined(joins: Joins, what: What, name: str) -> str:
    """The name that a spelling was joined to; any other as it is."""
    return joins.get(what, {}).get(bare_words(name), name) if name else name


def likeness(one: str, other: str) -> float:
    """How alike two folded words are, 0 to 1; one that stands whole in the other is nearly it."""
    short, long = sorted((one, other), key=len)
    if len(short) >= SHORTEST and short in long:
        return max(0.85, len(short) / len(long))
    return SequenceMatcher(None, one, other).ratio()


def like_country(catalogue: Catalogue, name: str) -> Likeness | None:
    """The one listed country that this unlisted name may be meant for."""
    wanted, listed = bare_words(name), _countries(catalogue)
    if not wanted or wanted in map(bare_words, listed):
        return None
    near = _near(wanted, listed) or next((each for each in listed if same_country(wanted, bare_words(each))), "")
    return Likeness("country", name, near) if near else None


def like_denomination(catalogue: Catalogue, country: str, name: str) -> Likeness | None:
    """The one listed denomination of a listed country that this unlisted one may be meant for: as many of a unit that
    is spelt nearly so."""
    named = catalogue.country(country)
    listed = {i.denomination for i in catalogue if not i.implied and (not named or bare_words(i.country) == named)}
    if name in listed:
        return None
    number, unit = _parts(name)
    alike = {each: own for each in listed if (own := _parts(each)[1]) and _parts(each)[0] == number}
    near = _near(unit, alike.values())
    found = next((each for each, own in alike.items() if own == near), "") if near else ""
    return Likeness("denomination", name, found) if found else None


def like_mint(catalogue: Catalogue, country: str, denomination: str, mint: str) -> Likeness | None:
    """The mark of the series whose mint a name of several letters may be meant for: spelt nearly as its place, or with
    its letter in front."""
    if len(mint) < SHORTEST:
        return None
    series = catalogue.series(denomination, catalogue.country(country))
    marks = {mark for found in series.by_year.values() for mark in found if mark} if series else set()
    place = _near(bare_words(mint), [name for name, mark in catalogue.places.items() if mark in marks])
    if place:
        return Likeness("mint", mint, catalogue.places[place])
    begun = [mark for mark in marks if mint.casefold().startswith(mark.casefold())]
    near = begun[0] if len(begun) == 1 else _near(bare_words(mint), marks)
    return Likeness("mint", mint, near) if near else None


def _countries(catalogue: Catalogue) -> list[str]:
    return list(dict.fromkeys(issue.country for issue in catalogue if not issue.implied and issue.country))


def _parts(denomination: str) -> tuple[tuple[str, ...], str]:
    """`5 tor` as its figures and its words."""
    bare = bare_words(denomination)
    return tuple(FIGURES.findall(bare)), " ".join(FIGURES.sub(" ", bare).split())


def _near(wanted: str, names: Iterable[str]) -> str:
    """The name that is the most alike, and alike enough."""
    if len(wanted) < SHORTEST - 1:
        return ""
    share, name = max(((likeness(wanted, bare_words(each)), each) for each in names), default=(0.0, ""))
    return name if share >= ALIKE else ""
