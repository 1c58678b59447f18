"""All issues of a shelf, indexed for look-ups by series, year and mint."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field

from watchlist.core.coins.issue import Issue, bare_words
from watchlist.core.coins.varieties import of_variety
from watchlist.core.reading.denominations import Spellings

__all__ = ["Index", "Series", "of_variety", "places", "same_country"]

LISTED_ENOUGH = 3
"""A series is known when at least this many of its issues are listed: fewer say nothing about a missing one."""
COVERED = 0.5
"""And a missing year says something only where at least this share of the years in between is listed."""

_STRUCK = (
    r"(?:struck|minted|coined) (?:at|in)|mint (?:of|at)|gepr[äa]e?gt in|m[üu]e?nzst[äa]e?tte|mzst\.?"
    r"|pr[äa]e?gest[äa]e?tte|frapp[ée]e?s? [àa]|atelier(?: de)?|acuñad[ao]s? en|ceca(?: de)?|coniat[aoe] a"
    r"|zecca(?: di)?|geslagen (?:te|in)"
)
_PLACE = re.compile(rf"(?:{_STRUCK}):? ([^\W\d]{{3,}})|([^\W\d]{{3,}}) mint\b", re.I)
_NOT_PLACES = frozenset(
    {"the", "main", "same", "this", "branch", "one", "each", "no", "without", "royal", "national", "ohne"}
)


@dataclass(slots=True)
class Series:
    """What the catalogue lists of one country and denomination. Implied issues do not count."""

    country: str
    denomination: str
    by_year: dict[int, set[str]] = field(default_factory=dict)
    """Mint marks by year."""
    listed: int = 0

    @property
    def known(self) -> bool:
        """Enough is listed for a missing mint mark to mean something."""
        return self.listed >= LISTED_ENOUGH

    @property
    def span(self) -> tuple[int, int]:
        """First and last year listed."""
        return min(self.by_year), max(self.by_year)

    def covers(self, year: int) -> bool:
        """The catalogue would list this year had it been struck: inside the span of a well covered series."""
        if not self.known:
            return False
        first, last = self.span
        return first <= year <= last and len(self.by_year) >= COVERED * (last - first + 1)


class Index:
    """Look-ups over a catalogue. Denominations are canonical, countries compare folded."""

    def __init__(self, issues: Iterable[Issue]) -> None:
        self.by_key: dict[str, Issue] = {issue.key: issue for issue in issues}
        self._dated: dict[tuple[str, int], list[Issue]] = defaultdict(list)
        self._years: dict[int, list[Issue]] = defaultdict(list)
        self._series: dict[tuple[str, str], Series] = {}
        self._types: dict[str, set[str]] = defaultdict(set)
        self._places: dict[str, set[str]] = defaultdict(set)
        self._countries: dict[str, str | None] = {}
        for issue in self.by_key.values():
            self._add(issue)
        self._names = {bare_words(issue.country) for issue in self.by_key.values()}
        self.denominations = frozenset(issue.denomination for issue in self.by_key.values())
        self._spellings = Spellings(self.denominations)

    def _add(self, issue: Issue) -> None:
        self._dated[issue.denomination, issue.year].append(issue)
        self._years[issue.year].append(issue)
        country = bare_words(issue.country)
        if issue.type:
            self._types[bare_words(issue.type)].add(issue.denomination)
        for place in places(issue.note):
            self._places[place].add(issue.mint)
        key = (country, issue.denomination)
        series = self._series.setdefault(key, Series(issue.country, issue.denomination))
        if not issue.implied:
            series.listed += 1
            series.by_year.setdefault(issue.year, set()).add(issue.mint)

    def __len__(self) -> int:
        return len(self.by_key)

    def __iter__(self) -> Iterator[Issue]:
        return iter(self.by_key.values())

    def country(self, name: str | None) -> str | None:
        """The catalogue's country that this name, code or adjective means, folded; None when it lists no such country.

        `Orvanian` is Orvany, `US` is United States."""
        if not name:
            return None
        if name not in self._countries:
            wanted = bare_words(name)
            alike = [known for known in self._names if same_country(wanted, known)]
            self._countries[name] = wanted if wanted in self._names else alike[0] if len(alike) == 1 else None
        return self._countries[name]

    def denomination(self, text: str) -> str | None:
        """The catalogue's denomination that is spelt so: `1 dukat` is its `ducat`, `50 öre` its `50 ore`."""
        return self._spellings.find(text)

    @property
    def places(self) -> dict[str, str]:
        """Mint places of the catalogue's notes, each with its mark; a place of several marks is left out."""
        return {place: next(iter(marks)) for place, marks in self._places.items() if len(marks) == 1}

    def struck(self, denomination: str, year: int, country: str | None = None) -> list[Issue]:
        """Issues of a denomination and year; of one country when it is given (folded)."""
        found = self._dated.get((denomination, year), [])
        return found if country is None else [issue for issue in found if bare_words(issue.country) == country]

    def in_year(self, year: int, country: str | None = None) -> list[Issue]:
        """Issues of a year, whatever their denomination."""
        found = self._years.get(year, [])
        return found if country is None else [issue for issue in found if bare_words(issue.country) == country]

    def series(self, denomination: str, country: str | None) -> Series | None:
        """The series of a country and denomination; without a country the only one of that denomination."""
        if country is not None:
            return self._series.get((country, denomination))
        found = [series for (_, name), series in self._series.items() if name == denomination]
        return found[0] if len(found) == 1 else None

    def types_in(self, text: str) -> dict[str, set[str]]:
        """Type names of the catalogue that stand in a text, each with its denominations."""
        words = f" {bare_words(text)} "
        return {name: found for name, found in self._types.items() if f" {name} " in words}

    def mints_named(self, text: str) -> set[str]:
        """Mint marks of the mint places that the catalogue's notes name and that stand in a text."""
        if not self._places:
            return set()
        words = set(bare_words(text).split())
        return {mint for place in words & self._places.keys() for mint in self._places[place]}

    def resolve(
        self, country: str | None, denomination: str, year: int, mint: str | None = None, variety: str | None = None
    ) -> Issue | tuple[Issue, ...] | None:
        """The issue that a row of a file means: one issue, several, or None.

        A mint of None is any mint, an empty one the main mint; a variety of None prefers the plain issue."""
        named = self.country(country)
        if country and named is None:
            return None
        found = self.struck(denomination, year, named)
        if mint is not None:
            found = [issue for issue in found if issue.mint.casefold() == mint.casefold()]
        found = of_variety(found, variety)
        return tuple(found) if len(found) > 1 else found[0] if found else None


def places(note: str) -> set[str]:
    """Mint places that a catalogue note names: `struck at Mersa`, `Velden mint`."""
    found = {bare_words(next(filter(None, hit.groups()))) for hit in _PLACE.finditer(note)}
    return found - _NOT_PLACES


def same_country(one: str, other: str) -> bool:
    """Two folded names of one country: a code made of first letters, or a name and its adjective."""
    if one == other:
        return True
    short, long = sorted((one, other), key=len)
    if " " in long and len(short) <= 4:
        return short == "".join(word[0] for word in long.split() if word not in ("of", "the", "and"))
    stem = max(4, len(short) - 2)
    return len(short) >= 4 and len(long) - len(short) <= 3 and short[:stem] == long[:stem]
