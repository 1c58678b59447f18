"""A coin as a person types it: `Orvany 5 tor 1893-M`, or a catalogue key."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass, replace
from difflib import get_close_matches

from watchlist.core.coins.eras import western
from watchlist.core.coins.index import Index
from watchlist.core.coins.issue import Issue, bare_words
from watchlist.core.coins.titlevarieties import meant
from watchlist.core.coins.varieties import of_variety

_YEAR = re.compile(r"(?<![\w/-])(?:(\d{3,4})|(\d{1,4})\s*(BC|AD))(?![\d/])\s*-?\s*", re.I)
_OVERDATE = re.compile(r"(?<![\w/])(\d{4})/(\d{1,4})(-[A-Za-z]{1,3})?(?![\w/])")
_MINT = re.compile(r"([A-Z]{1,3})(?![\w/])")
_DASHED = re.compile(_MINT.pattern, re.I)

Canonical = Callable[[str, str], str]
"""Denomination and country as typed to the canonical denomination."""
LETTERS = 3
"""A mint of more letters is typed by its name."""


@dataclass(frozen=True, slots=True)
class Found:
    """What a typed coin means: one issue, several, or none with a sentence."""

    issue: Issue | None
    several: tuple[Issue, ...] = ()
    note: str = ""
    """One sentence when the text does not mean exactly one issue."""
    nearest: tuple[Issue, ...] = ()
    """Issues that were perhaps meant."""
    country: str = ""
    denomination: str = ""
    year: int | None = None
    mint: str | None = None
    """None: not given."""
    variety: str = ""


def find_coin(index: Index, text: str, canonical: Canonical | None = None) -> Found:
    """Find the issue that `COUNTRY DENOMINATION YEAR-MINT VARIETY` or an issue key means. Never raises.

    The country may be left out where one country has the denomination. Without a mint the unmarked issue is meant
    where there is one; else every mint of the year."""
    text = " ".join(text.split())
    if issue := index.by_key.get(text):
        return Found(issue, country=issue.country, denomination=issue.denomination, year=issue.year, mint=issue.mint)
    if tried := [find_coin(index, each, canonical) for each in western(text)]:
        return _of_era(text, tried)
    parts = split_coin(text)
    if parts is None:
        note = f"`{text}` names no year: write country, denomination and year-mint, such as `{index.example}`."
        return Found(None, note=note, nearest=_nearest(index, text))
    front, year, mint, variety = parts
    country, denomination = _split_front(index, front, canonical)
    said = Found(None, country=country, denomination=denomination, year=year, mint=mint, variety=variety)
    named = index.country(country)
    if country and named is None:
        return _none(index, text, f"The catalogue lists no coins of {country}.", said)
    left = index.struck(denomination, year, named) or index.by_era(denomination, year, named)
    return _pick(index, text, left, said)


def _of_era(text: str, tried: list[Found]) -> Found:
    """`rupee AH 1293` by the catalogue's own year, or by the western one; found both ways it is open."""
    issues = tuple({found.issue.key: found.issue for found in tried if found.issue is not None}.values())
    if len(issues) < 2:
        return next((found for found in tried if found.issue is not None or found.several), tried[-1])
    names = ", ".join(issue.name for issue in issues)
    return replace(tried[0], issue=None, several=issues, note=f"`{text}` can mean several issues: {names}.")


def split_coin(text: str) -> tuple[str, int, str | None, str] | None:
    """The words before the year, the year, the mint mark (None: not given) and the variety; None without a year."""
    hits = list(_YEAR.finditer(text)) or list(_YEAR.finditer(text := _OVERDATE.sub(r"\1\3 \1/\2", text)))
    if not hits:
        return None
    hit = next((hit for hit in reversed(hits) if len(hit[0].strip(" -")) >= 4), hits[-1])
    year = int(hit[1] or hit[2])
    if (hit[3] or "").upper() == "BC":
        year = -year
    rest = text[hit.end() :]
    mint = (_DASHED if text[: hit.end()].rstrip().endswith("-") else _MINT).match(rest)
    variety = rest[mint.end() :] if mint else rest
    return text[: hit.start()].strip(" ,"), year, mint[1] if mint else None, variety.strip(" ,-")


def _split_front(index: Index, front: str, canonical: Canonical | None) -> tuple[str, str]:
    """Country and denomination: the longest ending that the catalogue has as one; else from the first digit."""
    words = front.split()
    ends = [(" ".join(words[:start]), " ".join(words[start:])) for start in range(len(words))]
    found = [(country, name) for country, unit in ends if (name := index.denomination(unit))]
    if canonical:
        found += [(land, name) for land, unit in ends if (name := index.denomination(canonical(unit, "")))]
    known = [pair for pair in found if not pair[0] or index.country(pair[0]) is not None]
    if found:
        return (known or found)[0]
    start = next((at for at, word in enumerate(words) if word[:1].isdigit()), max(len(words) - 1, 0))
    return " ".join(words[:start]), " ".join(words[start:]).lower()


def _named_mint(index: Index, left: list[Issue], words: str) -> tuple[str, str] | None:
    """A mint of these issues that stands in words by its name, and the other words."""
    bare = f" {bare_words(words)} "
    for mint in sorted({issue.mint for issue in left if len(issue.mint) > LETTERS}, key=len, reverse=True):
        name = f" {bare_words(mint)} "
        if name in bare:
            return mint, _without_mint_words(index, bare.replace(name, " "))
    marks = index.mints_named(words) & {issue.mint for issue in left}
    if len(marks) != 1:
        return None
    places = {place for place in bare.split() if index.mints_named(place)}
    return marks.pop(), _without_mint_words(index, " ".join(word for word in bare.split() if word not in places))


def _without_mint_words(index: Index, bare: str) -> str:
    return " ".join(word for word in bare.split() if word not in index.words.around_mint)


def _pick(index: Index, text: str, left: list[Issue], said: Found) -> Found:
    left, variety = _of_mint(index, left, said)
    left = of_variety(left, variety or None, index.words) or meant(variety, left, index.words)
    if len(left) == 1:
        return replace(said, issue=left[0])
    if not left:
        return _none(index, text, f"The catalogue has no `{text}`.", said)
    names = ", ".join(issue.name for issue in left[:5])
    return replace(said, several=tuple(left), note=f"`{text}` can mean several issues: {names}.")


def _of_mint(index: Index, left: list[Issue], said: Found) -> tuple[list[Issue], str]:
    """The issues of the mint that is typed, and the words that are left for the variety."""
    mark, words = said.mint, f"{said.mint or ''} {said.variety}".strip()
    if mark is not None and (marked := [issue for issue in left if issue.mint.casefold() == mark.casefold()]):
        return marked, said.variety
    if named := _named_mint(index, left, words):
        return [issue for issue in left if issue.mint == named[0]], named[1]
    if mark is not None:  # letters after the year may be a variety
        return of_variety(left, words, index.words), words
    return [issue for issue in left if not issue.mint] or left, said.variety


def _none(index: Index, text: str, note: str, said: Found) -> Found:
    nearest = _nearest(index, text)
    if nearest:
        note += f" Did you mean {' or '.join(issue.name for issue in nearest)}?"
    return replace(said, note=note, nearest=nearest)


def _nearest(index: Index, text: str) -> tuple[Issue, ...]:
    names = {bare_words(issue.name): issue for issue in index}
    return tuple(names[name] for name in get_close_matches(bare_words(text), names, n=3, cutoff=0.6))
