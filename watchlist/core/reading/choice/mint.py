"""Letters that may be a mint, a grade or part of a variety: what the catalogue lists decides."""

from __future__ import annotations

from typing import TYPE_CHECKING

from watchlist.core.reading.choice.draft import Draft
from watchlist.core.reading.fields.mints import Mints, is_lettering

if TYPE_CHECKING:
    from watchlist.core.reading.reader import Reader

TIED = 0.95
"""How sure a mark is that is tied to the year; such a one is no grade."""


def no_mint_of_it(draft: Draft, reader: Reader, year: int | None) -> Mints | None:
    """Give a lone letter free that the catalogue lists no mint for, of this coin and year: `1790 F` may be Fine.

    Returns the mint that was read, so that it stands again where the letter is no grade either."""
    mint, scan = draft.mint, draft.scan
    if not reader.struck or mint.mint is None or mint.score >= TIED or mint.end - mint.start != 1 or mint.over:
        return None
    letters = is_lettering(scan, mint.start)
    if not (letters or mint.mint.lower() in reader.grammar.scales.phrases.root) or year is None or not draft.values:
        return None
    listed = reader.struck.get((reader.canonical(draft.values[0], draft.country, scan), year))
    if listed is None or mint.mint in listed:
        return None
    draft.mint = Mints(denied=mint.denied)
    scan.used[mint.start] = 0
    return None if letters else mint


def mint_again(draft: Draft, mint: Mints | None) -> None:
    """The mint that was read stands, unless its letter became the grade."""
    if mint is not None and (draft.grade is None or not draft.grade.start <= mint.start < draft.grade.end):
        draft.mint = mint
        draft.scan.take(mint.start, mint.end)
