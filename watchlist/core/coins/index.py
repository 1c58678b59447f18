"""All issues of a shelf, indexed for look-ups by series, year and mint."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field

from watchlist.core.coins.eras import ERAS, SHARE, told_era
from watchlist.core.coins.finishes import finish_named, finish_of
from watchlist.core.coins.issue import Issue, bare_words
from watchlist.core.coins.mintnotes import places
from watchlist.core.coins.titlevarieties import stands
from watchlist.core.coins.varieties import of_variety
from watchlist.core.coins.varietywords import VarietyWords
from watchlist.core.reading.vocabulary.catalogued import Catalogued
from watchlist.core.reading.vocabulary.spellings import Spellings
from watchlist.core.reading.vocabulary.tokens import YEARS

LISTED_ENOUGH = 3
"""A series is known when at least this many of its issues are listed: fewer say nothing about a missing one."""
BESIDE = 10
"""Years outside a run in which a date is still taken as one of it."""
COVERED = 0.5
"""And a missing year says something only where at least this share of the years in between is listed."""


@dataclass(slots=True)
class Series:
    """What the catalogue lists of one country and denomination. Implied issues do not count."""

    country: str
    denomination: str
    eras: set[str] = field(default_factory=set)
    """Those by which the notes or types say that its coins are dated."""
    by_year: dict[int, set[str]] = field(default_factory=dict)
    """Mint marks by year."""
    listed: int = 0
    bare: bool = False
    """A year is listed that can hardly be a western one of machine-struck coins: perhaps of another era."""
    copies: bool = False
    """Copies are noted of some issue: of the others the silence says something."""

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

    def beside(self, year: int) -> bool:
        """Up to ten years outside a well covered run: a catalogue of it would most likely list the year."""
        first, last = self.span if self.by_year else (year, year)
        if not self.covers(first):
            return False
        return 0 < max(first - year, year - last) <= BESIDE


class Index:
    """Look-ups over a catalogue. Denominations are canonical, countries compare folded."""

    def __init__(self, issues: Iterable[Issue], words: VarietyWords) -> None:
        self.words = words
        self.by_key: dict[str, Issue] = {issue.key: issue for issue in issues}
        self._dated: dict[tuple[str, int], list[Issue]] = defaultdict(list)
        self._years: dict[int, list[Issue]] = defaultdict(list)
        self._series: dict[tuple[str, str], Series] = {}
        self._types: dict[str, set[str]] = defaultdict(set)
        self._places: dict[str, set[str]] = defaultdict(set)
        self._countries: dict[str, str | None] = {}
        self._eras: dict[str, set[str]] = defaultdict(set)
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
        for place in places(issue.note, issue.mint, self.words.notes):
            self._places[place].add(issue.mint)
        key = (country, issue.denomination)
        series = self._series.setdefault(key, Series(issue.country, issue.denomination))
        if era := told_era(issue.note, issue.year) or told_era(issue.type, issue.year):
            self._eras[country].add(era)
            series.eras.add(era)
        if not issue.implied:
            series.listed += 1
            series.copies |= issue.copied
            series.bare |= issue.year not in YEARS
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
    def example(self) -> str:
        """A coin of this catalogue, for a sentence that says how coins are written."""
        listed = sorted(self.by_key.values(), key=lambda issue: (issue.implied, not issue.mint))
        return listed[0].name.partition(",")[0] if listed else "COUNTRY DENOMINATION YEAR-MINT"

    @property
    def places(self) -> dict[str, str]:
        """Mint places of the catalogue's notes, each with its mark; a place of several marks is left out."""
        return {place: next(iter(marks)) for place, marks in self._places.items() if len(marks) == 1}

    def struck(self, denomination: str, year: int, country: str | None = None) -> list[Issue]:
        """Issues of a denomination and year; of one country when it is given (folded)."""
        return _of_country(self._dated.get((denomination, year), []), country)

    def in_year(self, year: int, country: str | None = None) -> list[Issue]:
        """Issues of a year, whatever their denomination."""
        return _of_country(self._years.get(year, []), country)

    def series(self, denomination: str, country: str | None) -> Series | None:
        """The series of a country and denomination; without a country the only one of that denomination."""
        if country is not None:
            return self._series.get((country, denomination))
        found = [series for (_, name), series in self._series.items() if name == denomination]
        return found[0] if len(found) == 1 else None

    def notes_copies(self, issue: Issue) -> bool:
        """Of some issue of this one's series the catalogue says that copies are known."""
        series = self._series.get((bare_words(issue.country), issue.denomination))
        return not issue.implied and series is not None and series.copies

    def era(self, series: Series) -> str:
        """The era by which the notes or types of a series, else of its country, say its coins are dated; or empty."""
        told = series.eras or self._eras.get(bare_words(series.country), set())
        return next(iter(told)) if len(told) == 1 else ""

    def era_years(self, series: Series, western: int) -> list[int]:
        """The listed years of a series in its own era that a western year may be."""
        era = ERAS.get(self.era(series))
        if era is None:
            return []
        return sorted(
            year for year in series.by_year if era.first <= year <= era.last and era.shares(year, western) > SHARE
        )

    def by_era(self, denomination: str, western: int, country: str | None) -> list[Issue]:
        """Issues of a western year that the catalogue lists by the year of their own era."""
        series = self.series(denomination, country)
        years = self.era_years(series, western) if series else ()
        return [issue for year in years for issue in self.struck(denomination, year, country)]

    @property
    def catalogued(self) -> Catalogued:
        """What the catalogue tells a title reader."""
        issues = self.by_key.values()
        return Catalogued(
            denominations=tuple(dict.fromkeys(issue.denomination for issue in issues)),
            types={issue.type: issue.denomination for issue in issues if self._tells_value(issue)},
            shared=tuple({issue.type: None for issue in issues if self._is_shared(issue)}),
            mints=tuple(dict.fromkeys(issue.mint for issue in issues if issue.mint)),
            countries=tuple(dict.fromkeys(issue.country for issue in issues if issue.country)),
            places=self.places,
            struck={dated: frozenset(issue.mint for issue in issues) for dated, issues in self._dated.items()},
        )

    def _tells_value(self, issue: Issue) -> bool:
        """Whether the name of its type says which denomination a piece is: no other has it, and it is no finish."""
        return bool(issue.type) and not self._is_shared(issue) and not finish_named(issue.type, self.words)

    def _is_shared(self, issue: Issue) -> bool:
        return len(self._types.get(bare_words(issue.type), ())) > 1

    def types_in(self, text: str) -> dict[str, set[str]]:
        """Type names of the catalogue that stand in a text, each with its denominations."""
        words = f" {bare_words(text)} "
        return {name: found for name, found in self._types.items() if f" {name} " in words}

    def mints_named(self, text: str) -> set[str]:
        """Mint marks of the mint places that the catalogue's notes name and that stand in a text."""
        if not self._places:
            return set()
        words = f" {bare_words(text)} "
        named = [place for place in self._places if f" {place} " in words and stands(place, text, self.words)]
        return {mint for place in named for mint in self._places[place]}

    def parent(self, issue: Issue) -> str:
        """The key of the plain issue of a variety's date and mint; empty for a plain one, a proof and its like, which
        the trade prices apart, and where no plain one is listed."""
        if not issue.variety or finish_of(issue, self.words):
            return ""
        plain = (
            each for each in self._dated.get((issue.denomination, issue.year), ())
            if not each.variety and each.mint == issue.mint and each.country == issue.country
            and not finish_of(each, self.words)
        )  # fmt: skip
        return next((each.key for each in plain), "")

    def resolve(
        self, country: str | None, denomination: str, year: int, mint: str | None = None, variety: str | None = None
    ) -> Issue | tuple[Issue, ...] | None:
        """The issue that a row of a file means: one issue, several, or None.

        A mint of None is any mint, an empty one the main mint; a variety of None prefers the plain issue."""
        named = self.country(country)
        if country and named is None:
            return None
        found = self.struck(denomination, year, named) or self.by_era(denomination, year, named)
        if mint is not None:
            found = [issue for issue in found if issue.mint.casefold() == mint.casefold()]
        found = of_variety(found, variety, self.words)
        return tuple(found) if len(found) > 1 else found[0] if found else None


def _of_country(issues: list[Issue], country: str | None) -> list[Issue]:
    return issues if country is None else [issue for issue in issues if bare_words(issue.country) == country]


def same_country(one: str, other: str) -> bool:
    """Two folded names of one country: a code made of first letters, or a name and its adjective."""
    if one == other:
        return True
    short, long = sorted((one, other), key=len)
    if " " in long and len(short) <= 4:
        return short == "".join(word[0] for word in long.split() if word not in ("of", "the", "and"))
    stem = max(4, len(short) - 2)
    return len(short) >= 4 and len(long) - len(short) <= 3 and short[:stem] == long[:stem]
