"""Which mint the piece is of: by its mark, by the mint's name, and by what the catalogue lists.

A lone letter may be a mint, a grade or part of a variety: the catalogue decides."""

from __future__ import annotations

from watchlist.core.reading.choice.draft import Draft
from watchlist.core.reading.fields.countries import NAMED_COUNTRY
from watchlist.core.reading.fields.denominations import canonical
from watchlist.core.reading.fields.mints import APART, Mints, find_mint, is_lettering, of_all
from watchlist.core.reading.fields.namedmints import NAMED, named_mint

TIED = 0.95
"""How sure a mark is that is tied to the year; such a one is not a grade."""
SURE_COUNTRY = 0.8
"""Of a surer country only its own mint letters are looked for."""


def choose_mint(draft: Draft) -> None:
    """Set the mint of a draft, and its country where the mint tells it."""
    scan = draft.scan
    unit = (draft.values[0].unit or draft.values[0].coin) if draft.values else ""
    years = draft.single_years + ([draft.dates.era] if draft.dates.era else [])
    sure = draft.country_sure > SURE_COUNTRY
    draft.mint = find_mint(scan, years, draft.country, draft.vocabulary.mints, sure=sure, unit=unit)
    if draft.mint.mint is None and not draft.mint.several and not scan.by.get("kind"):  # a medal's place is no mint
        _by_name(draft, unit)
    if draft.country_sure < NAMED_COUNTRY and draft.mint.mint:
        # A branch mint's letter on a sovereign, a colonial mint on reales: the piece is from there.
        draft.country = scan.lex.mint_country.get(unit, {}).get(draft.mint.mint, draft.country)


def _by_name(draft: Draft, unit: str) -> None:
    """`1882 Carson City`: the name alone says which mark the piece carries."""
    if found := named_mint(draft.scan, draft.vocabulary.mint_names.known, draft.country, draft.year, unit):
        mark, draft.mint.start, draft.mint.end = found
        draft.mint.mint = mark or None  # the main mint, by name
        draft.mint.score = NAMED
        draft.scan.take(draft.mint.start, draft.mint.end)


def no_mint_of_it(draft: Draft) -> Mints | None:
    """Give a lone letter free that the catalogue lists no mint for, of this coin and year: `1790 F` may be Fine.

    Returns the mint that was read, so that it stands again where the letter is not a grade either."""
    mint, scan, vocabulary = draft.mint, draft.scan, draft.vocabulary
    if not vocabulary.struck or mint.mint is None or not _is_loose_letter(mint):
        return None
    lettering = is_lettering(scan, mint.start)
    may_be_other = lettering or mint.mint.lower() in vocabulary.grammar.scales.phrases.root
    if not may_be_other or draft.year is None or not draft.values:
        return None
    name = vocabulary.spelt[canonical(draft.values[0], draft.country, scan)]
    listed = vocabulary.struck.get((name, draft.year))
    if listed is None or mint.mint in listed:
        return None
    draft.mint = Mints(denied=mint.denied)
    scan.used[mint.start] = 0
    return None if lettering else mint


def _is_loose_letter(mint: Mints) -> bool:
    return mint.score < TIED and mint.end - mint.start == 1 and not mint.over


def mint_again(draft: Draft, mint: Mints | None) -> None:
    """The mint that was read stands, unless its letter became the grade."""
    if mint is not None and (draft.grade is None or not draft.grade.start <= mint.start < draft.grade.end):
        draft.mint = mint
        draft.scan.take(mint.start, mint.end)


def mint_of(draft: Draft, years: tuple[int, ...]) -> str | None:
    """The mint mark of the piece; of several years only one they share."""
    mint, ranged = draft.mint, any(year.last for year in draft.dates.found)
    if mint.several or (len(years) > 1 and ranged and mint.score != APART):
        return None
    if len(years) > 1 and not ranged:
        return of_all(draft.scan, draft.single_years, draft.country, draft.vocabulary.mints)
    return mint.mint
