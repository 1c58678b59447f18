"""Mints by their names in a title that shows no mark, and the names of mints that nobody knows."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from watchlist.core.reading.fields.countries import is_strange
from watchlist.core.reading.scanning.scan import Mark, Scan
from watchlist.core.reading.vocabulary.mintnames import MintName
from watchlist.core.reading.vocabulary.tokens import WORD

NAMED = 0.8
"""How sure a mark is that only the name of its mint gives."""

Named = tuple[MintName, int, int]
"""A mint named in a title, with the first token and the one after the last."""


def named_mint(
    scan: Scan, names: Mapping[str, MintName], country: str | None, year: int | None, unit: str
) -> tuple[str, int, int] | None:
    """Mark, start and end of the mint a title names; None when it names none, or two of different marks."""
    found = list(_found(scan, names, country, year, unit))
    own = [each for each in found if not each[0].country] or found
    if len({known.mark for known, _, _ in own}) != 1:
        return None
    known, start, end = own[0]
    return known.mark, start, end


def _found(
    scan: Scan, names: Mapping[str, MintName], country: str | None, year: int | None, unit: str
) -> Iterator[Named]:
    for mark in scan.by.get("mintname", ()):
        known = names[mark.value]
        told = not scan.quiet or _beside_mint_word(scan, mark)  # a description names places of all kinds
        if told and known.fits(country, year, unit) and not scan.negated(mark.start, mark.end):
            yield known, mark.start, mark.end


def mint_told(scan: Scan) -> bool:
    """Whether a text names a mint beside a word that says it is one."""
    return any(_beside_mint_word(scan, mark) for mark in scan.by.get("mintname", ()))


def _beside_mint_word(scan: Scan, mark: Mark) -> bool:
    """`Münzstätte Velden`, `Velden mint`, `ceca de Velden`."""
    at = mark.start - 1
    while at > 0 and scan.tok(at).low in scan.lex.sets["before_place"]:
        at -= 1
    ahead = any(m.end - 1 == at for m in scan.kinds("mint.place", "mint.before"))
    inside = scan.them[mark.end - 1].low == "mint"
    return ahead or inside or scan.has(mark.end, "mint.after") is not None


def unknown_mint(scan: Scan) -> str:
    """`Münzstätte Nurburg`, `Nurburg mint`: the name of a mint that nobody knows; empty for none."""
    return next((scan.tok(at).text for at in _places(scan) if is_strange(scan, at)), "")


def _places(scan: Scan) -> Iterator[int]:
    """Where the name of a mint stands if the title has one."""
    for mark in scan.kinds("mint.place"):
        yield scan.past(mark.end, scan.lex.sets["before_place"])
    for at, token in enumerate(scan.them if "mint" in scan.lows else ()):
        before = at - 1 - (scan.tok(at - 1).low == "-")
        if token.low == "mint" and before >= 0 and scan.tok(at + 1).low not in scan.lex.sets["mint_of"]:
            yield before
            if scan.tok(at - 1).kind != WORD:
                yield at + 1  # `1805 mint Nurburg`
