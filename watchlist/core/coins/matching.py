"""A reading and a catalogue make an issue; the catalogue resolves what the title leaves open."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from watchlist.core.coins.eradates import Dated, dated
from watchlist.core.coins.finishes import finish_of, finish_said, of_finish, without_finish
from watchlist.core.coins.index import Index
from watchlist.core.coins.issue import Issue, bare_words, coin_date
from watchlist.core.coins.titlevarieties import letter_varieties, opposite, told
from watchlist.core.coins.varieties import of_variety
from watchlist.core.reading.record import Reading

SURE = 0.6
"""Below this confidence a title silent about its mint leaves the marked issues open too."""
MOST = 12
"""Candidates named at most."""


@dataclass(frozen=True, slots=True)
class Match:
    """The issue a reading means, or why none."""

    issue: Issue | None
    candidates: tuple[Issue, ...] = ()
    """All issues that the reading allows, when more than one; the issue chosen among them stands first."""
    never_struck: bool = False
    """The catalogue knows the series, and this year and mint are not in it."""
    known_series: bool = False
    beside_run: bool = False
    """The year lies up to ten years outside a run that the catalogue covers well."""
    why: str = ""
    """What was resolved, assumed, or is missing: one sentence, or empty when the title said it all."""


def match(index: Index, reading: Reading) -> Match:
    """The issue that a reading means. Never raises; what stays open is said in `why`."""
    if bound := index.by_key.get(reading.issue):
        return Match(bound, known_series=True)
    if reading.kind not in ("coin", "set") and reading.denomination is None:
        return Match(None, why=f"The title names a {reading.kind}, not a coin of the catalogue.")
    country = index.country(reading.country)
    if reading.country and country is None and len(index):
        return Match(None, why=f"The catalogue lists no coins of {reading.country}.")
    struck, why = _of_year(index, reading, reading.year, country) if reading.year is not None else ([], [])
    if reading.denomination is not None and (era := dated(index, reading, country, bool(struck))):
        return _of_era(index, reading, country, struck, era)
    if reading.year is None:
        return _without_year(index, reading, country)
    if not struck:
        return _nothing(index, reading, reading.year, country)
    found = _of_country(reading, _hedged(index, reading, struck, _by_mint(index, reading, struck, why)))
    return _of_shared_type(index, reading, found)


def _of_shared_type(index: Index, reading: Reading, found: Match) -> Match:
    """A type that several denominations share, such as a ruler's name, never says which one the piece is of."""
    if found.issue is None or reading.denomination is not None:
        return found
    types = index.types_in(reading.title)
    shared = types.get(bare_words(found.issue.type), set())
    if len(shared) < 2:
        return found
    why = f"The title gives no denomination; {found.issue.type} stands for {', '.join(sorted(shared))}."
    return Match(None, (found.issue,), known_series=True, why=why)


def _of_era(index: Index, reading: Reading, country: str | None, struck: list[Issue], era: Dated) -> Match:
    """The issue of a catalogue that lists its coins by the year of their own era."""
    if struck or len(era.years) > 1:
        listed = [issue for year in era.years for issue in index.struck(era.denomination, year, country)]
        return _one_of(reading, [*struck, *listed], ["The title fits two years of the catalogue."], sure=False)
    sure = reading.confidence if reading.unsure else max(reading.confidence, SURE)  # the figures are the catalogue's
    its = replace(reading, year=era.years[0], confidence=sure)
    found, why = _of_year(index, its, era.years[0], country)
    why = [*why, era.why]
    return _of_country(its, _hedged(index, its, found, _by_mint(index, its, found, why)))


def _of_country(reading: Reading, found: Match) -> Match:
    """Where the title may name a country that nobody knows, the piece is not taken as the catalogue's."""
    strange = next((name for field, name in reading.alternatives if field == "country"), "")
    if not strange or found.issue is None:
        return found
    why = f"`{strange}` may be a country, and the catalogue lists no coins of it."
    return Match(None, found.candidates or (found.issue,), known_series=found.known_series, why=why)


def _strange_mint(index: Index, reading: Reading) -> str:
    """The name of a mint that neither the reader nor the catalogue's notes know; empty for none."""
    named = next((name for field, name in reading.alternatives if field == "mint"), "")
    return named if named and not reading.mint and not index.mints_named(named) else ""


def _hedged(index: Index, reading: Reading, struck: list[Issue], found: Match) -> Match:
    """A mint the seller is not sure of, or that reads two ways, leaves the other mints of the year possible."""
    if (strange := _strange_mint(index, reading)) and found.issue is not None:
        why = f"The title names a mint that the catalogue does not know: {strange}."
        return Match(None, tuple(struck[:MOST]), known_series=found.known_series, why=why)
    if reading.mint is None and index.mints_named(reading.title):
        return found
    if found.issue is None or "mint" not in reading.unsure or len({issue.mint for issue in struck}) < 2:
        return found
    others = [issue for issue in struck if issue.mint != found.issue.mint]
    why = f"{found.why} The mint is not sure.".strip()
    return Match(found.issue, (found.issue, *others[: MOST - 1]), known_series=found.known_series, why=why)


def _without_year(index: Index, reading: Reading, country: str | None) -> Match:
    if not reading.years or reading.denomination is None:
        return Match(None, why="The title gives no year.")
    found = [issue for year in reading.years for issue in index.struck(reading.denomination, year, country)]
    return Match(None, tuple(found[:MOST]), known_series=bool(found), why="The title names several years.")


def _of_year(index: Index, reading: Reading, year: int, country: str | None) -> tuple[list[Issue], list[str]]:
    """Issues of the year, narrowed by denomination, or where the title gives none by a type it names."""
    types = index.types_in(reading.title)
    if reading.denomination is not None:
        found = index.struck(reading.denomination, year, country)
    elif types:
        found = [issue for issue in index.in_year(year, country) if bare_words(issue.type) in types]
    else:
        found = index.in_year(year, country) if country is not None else []
    typed = [issue for issue in found if bare_words(issue.type) in types]
    why = []
    if reading.denomination is None and found:
        named = sorted({issue.denomination for issue in found})
        why.append(f"The denomination is not in the title; the catalogue has {' and '.join(named)} for {year}.")
    return typed or found, why


def _nothing(index: Index, reading: Reading, year: int, country: str | None) -> Match:
    if reading.denomination is None:
        return Match(None, why="The title gives no denomination that is known.")
    series = index.series(reading.denomination, country)
    if series is None or not series.listed:
        return _of_bare_unit(index, reading, year, country)
    first, last = series.span
    sure = not {"year", "denomination"} & set(reading.unsure)
    if series.covers(year) and sure:
        date = coin_date(year, reading.mint)
        why = f"The catalogue has no {series.denomination} {date}: your catalogue lists none of that year."
        return Match(None, never_struck=True, known_series=True, why=why)
    why = f"The catalogue lists {series.denomination} from {first} to {last}, but no {year}."
    return Match(None, known_series=series.known, beside_run=sure and series.beside(year), why=why)


def _of_bare_unit(index: Index, reading: Reading, year: int, country: str | None) -> Match:
    """A unit without its number, where the catalogue lists only pieces of several: it names them."""
    unit = f" {reading.denomination}"
    types = index.types_in(reading.title)
    issues = [issue for issue in index.in_year(year, country) if issue.denomination.endswith(unit)]
    found = [issue for issue in issues if bare_words(issue.type) in types] or issues
    if not found:
        return Match(None, why=f"The catalogue has no series {_named(reading)}.")
    named = ", ".join(sorted({issue.denomination for issue in found}))
    why = f"The title does not say how many {reading.denomination}; the catalogue has {named} for {year}."
    return Match(None, tuple(found[:MOST]), known_series=True, why=why)


def _by_mint(index: Index, reading: Reading, struck: list[Issue], why: list[str]) -> Match:
    """Narrow by the mint the title names, denies, spells out, or is silent about."""
    left = [issue for issue in struck if issue.mint not in reading.denied_mints or not issue.mint]
    if reading.mint:
        found = with_mint(left, reading.mint)
        if lettered := told(reading.title, letter_varieties(reading.mint, struck), index.words).named:
            why = [*why, f"{reading.mint} is part of the variety {lettered[0].variety}."]
            return _one_of(reading, [*lettered, *(issue for issue in found if issue not in lettered)], why)
        return _by_variety(index, reading, found, why) if found else _mint_not_listed(index, reading, struck)
    places = index.mints_named(reading.title)
    if named := [issue for issue in left if issue.mint in places]:
        mints = ", ".join(sorted({issue.mint or "main mint" for issue in named}))
        return _by_variety(index, reading, named, [*why, f"The mint is named in words: {mints}."])
    return _without_mark(index, reading, left, why)


def _without_mark(index: Index, reading: Reading, left: list[Issue], why: list[str]) -> Match:
    """Narrow by what silence about the mint means: the main mint, or the only one that struck."""
    marks = {issue.mint for issue in left}
    if not left:
        return Match(None, known_series=True, why="The title denies every mint mark the catalogue lists for the year.")
    if len(marks) > 1 and "" in marks:
        plain = _by_variety(index, reading, [issue for issue in left if not issue.mint], why)
        return _silent(reading, plain, left)
    if len(marks) == 1 and "" not in marks:
        why = [*why, f"The title names no mint; your catalogue lists only {marks.pop()} for that year."]
    return _by_variety(index, reading, left, why)


def _silent(reading: Reading, plain: Match, left: list[Issue]) -> Match:
    """Silence means the main mint, by common practice; with a poor reading the marked issues stay possible."""
    said = "The title denies a mint mark" if reading.denied_mints else "The title names no mint mark"
    why = f"{said}: taken as the main mint (common practice). {plain.why}".strip()
    if plain.issue is None or reading.confidence >= SURE:
        return Match(plain.issue, plain.candidates, known_series=True, why=why)
    others = [issue for issue in left if issue is not plain.issue]
    return Match(plain.issue, (plain.issue, *others[: MOST - 1]), known_series=True, why=why)


def with_mint(issues: Sequence[Issue], mint: str) -> list[Issue]:
    """Issues of a mint mark. A written P finds the unmarked issue of a United States piece: its main mint's letter."""
    found = [issue for issue in issues if issue.mint == mint]
    found = found or [issue for issue in issues if issue.mint.casefold() == mint.casefold()]
    if not found and mint.upper() == "P":
        found = [i for i in issues if not i.mint and bare_words(i.country) in ("us", "usa", "united states")]
    return found


def _mint_not_listed(index: Index, reading: Reading, struck: list[Issue]) -> Match:
    country = index.country(reading.country)
    series = index.series(struck[0].denomination, country if country is not None else bare_words(struck[0].country))
    mints = " and ".join(sorted({issue.mint or "the main mint without a mark" for issue in struck}))
    sure = not {"mint", "year", "denomination"} & set(reading.unsure)
    sure = sure and not letter_varieties(reading.mint or "", struck)
    others = [v for f, v in reading.alternatives if f == "mint" for i in struck if i.mint.casefold() == v.casefold()]
    if series is not None and series.known and sure and not others and len({i.country for i in struck}) == 1:
        date = coin_date(struck[0].year, reading.mint)
        why = f"The catalogue has no {struck[0].denomination} {date}: it lists only {mints}."
        return Match(None, never_struck=True, known_series=True, why=why)
    why = f"The catalogue lists no mint mark {reading.mint} for {struck[0].year}, only {mints}."
    return Match(None, tuple(struck[:MOST]), known_series=series is not None and series.known, why=why)


def _by_variety(index: Index, reading: Reading, issues: list[Issue], why: list[str]) -> Match:
    """The finish and the variety the title names; one that it denies means its opposite or the plain issue, never
    that one."""
    finish = finish_said(reading, index.words)
    finished = of_finish(issues, finish, index.words)
    if finish and finish_of(finished[0], index.words) == finish:
        issues = of_variety(finished, finish, index.words) if len(finished) > 1 else finished
        issues = _also_told(index, reading, finished) or issues
        return _one_of(reading, issues, [*why, f"The title says {finish}."])
    return _of_variety(index, reading, finished, why)


def _also_told(index: Index, reading: Reading, finished: list[Issue]) -> list[Issue]:
    """Of several issues of one finish those whose other words the title names: `Proof, small date`."""
    bare = [replace(issue, variety=without_finish(issue.variety, index.words)) for issue in finished]
    keys = {issue.key for issue in told(reading.title, bare, index.words).named}
    return [issue for issue in finished if issue.key in keys]


def _of_variety(index: Index, reading: Reading, issues: list[Issue], why: list[str]) -> Match:
    """The variety the title names among the issues of its finish."""
    said, variety = told(reading.title, issues, index.words), _plain_words(reading.variety)
    left = [issue for issue in issues if issue not in said.denied]
    if said.doubted and not said.named:
        maybe = [issue for issue in left if issue in said.doubted or not issue.variety]
        return _one_of(reading, maybe, [*why, "The title may name or deny a variety."], sure=False)
    listed = of_variety(left, variety, index.words) if variety else []
    if found := said.meant(listed):
        return _one_of(reading, found, why)
    if not said.denied and not variety:
        return _one_of(reading, of_variety(issues, None, index.words), why)
    return _left_over(index, reading, issues, said.denied, why)


def _left_over(index: Index, reading: Reading, issues: list[Issue], denied: list[Issue], why: list[str]) -> Match:
    """The plain issue where the variety named is not listed or the one listed is denied; of two sizes the other."""
    left = [issue for issue in issues if issue not in denied]
    plain = [issue for issue in left if not issue.variety]
    if _plain_words(reading.variety):
        why, other = [*why, _not_listed(reading, plain)], plain
    else:
        other = plain or opposite(denied, left, index.words)
    return _one_of(reading, other or left or issues, why, sure=bool(other))


def _not_listed(reading: Reading, plain: list[Issue]) -> str:
    taken = "; taken as the regular issue" if plain else ""
    return f"The catalogue does not list the variety {reading.variety}{taken}."


def _one_of(reading: Reading, found: list[Issue], why: list[str], *, sure: bool = True) -> Match:
    if len(found) == 1 and sure:
        return Match(found[0], known_series=not found[0].implied, why=" ".join(why))
    names = ", ".join(issue.name for issue in found[:4])
    several = f"Several issues are possible: {names}."
    why = [*why, several if len(found) > 1 else f"Only {names} is left, and the title does not say that it is one."]
    return Match(None, tuple(found[:MOST]), known_series=True, why=" ".join(why))


def _plain_words(variety: str | None) -> str | None:
    """The variety without the word proof, which is a finish and no variety."""
    words = [word for word in (variety or "").replace("?", "").split() if word.strip(",").lower() != "proof"]
    return " ".join(words) or None


def _named(reading: Reading) -> str:
    return " ".join(filter(None, (reading.country, reading.denomination)))
