"""All issues of a shelf, indexed for look-ups by series, year and mint."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field

from watchlist.core.coins.issue import Issue, bare_words

LISTED_ENOUGH = 3
"""A series is known when at least this many of its issues are listed: fewer say nothing about a missing one."""
COVERED = 0.5
"""And a missing year says something only where at least this share of the years in between is listed."""

_PLACE = re.compile(
    r"(?:struck|minted|coined) (?:at|in) ([^\W\d]{3,})|mint (?:of|at) ([^\W\d]{3,})|([^\W\d]{3,}) mint\b", re.I
)
_OVER = re.compile(r"\d*(\d)/\d*(\d)")
_NOT_PLACES = frozenset({"the", "main", "same", "this", "branch", "one", "each", "no", "without", "royal", "national"})


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


def of_variety(issues: list[Issue], variety: str | None) -> list[Issue]:
    """The issues of a variety; None prefers plain issues. No issue of that variety: an empty list."""
    if variety is None:
        return [issue for issue in issues if not issue.variety] or issues
    wanted = bare_words(variety)
    exact = [issue for issue in issues if bare_words(issue.variety) == wanted]
    if exact or not wanted:
        return exact
    return [issue for issue in issues if issue.variety and _alike(bare_words(issue.variety), wanted)]


def _alike(one: str, other: str) -> bool:
    """One wording holds all words of the other: `overdate 3/2` and `3/2 overdate`, `3/2` and `1893/2` by its end."""
    mine, yours = _overdated(one), _overdated(other)
    if mine == {"overdate"} or yours == {"overdate"}:   # without its figures it may be any
        return any("/" in word for word in mine | yours) or mine == yours
    return mine <= yours or yours <= mine or one.endswith(other) or other.endswith(one)


def _overdated(variety: str) -> set[str]:
    """The words of a variety, an overdate in one spelling: `1887/6`, `87/86` and `overdate 7/6` are `7/6`."""
    words = [_OVER.sub(r"\1/\2", word) for word in variety.split()]
    figures = {word for word in words if "/" in word}
    return {word for word in words if not (figures and word in ("overdate", "over"))}
