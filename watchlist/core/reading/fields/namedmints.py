"""Mints by their names: the mark that pieces of a named mint carry, where the title shows none."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any, Protocol

from watchlist.core.reading.fields.countries import is_strange
from watchlist.core.reading.scanning.scan import Mark, Scan
from watchlist.core.reading.vocabulary.tokens import WORD

NAMED = 0.8
"""How sure a mark is that only the name of its mint gives."""
LETTERS = 4
"""A catalogue's own mint of more letters than that is a name, written out in titles."""


class Lists(Protocol):
    """Where phrases are kept."""

    def add(self, kind: str, value: str, words: Iterable[str], lang: str = "") -> None:
        """Add phrases with one meaning."""


@dataclass(frozen=True, slots=True)
class MintName:
    """A mark, and the pieces on which the name of its mint gives it."""

    mark: str
    country: str = ""
    """A country's code; empty is any, as with the person's own mints."""
    years: tuple[int, int] = (-3000, 9999)
    units: frozenset[str] = frozenset()

    def fits(self, country: str | None, year: int | None, unit: str) -> bool:
        """Whether a piece of this country, year and unit carries it."""
        if not self.country:
            return True
        dated = year is None or self.years[0] <= year <= self.years[1]
        return self.country == country and dated and (not self.units or unit in self.units)


class MintNames:
    """All mint names known."""

    def __init__(self, table: Mapping[str, Any], lists: Lists) -> None:
        self._lists = lists
        self._known: dict[str, MintName] = {}
        for country, row in table.items():
            years = tuple(row.get("years", (-3000, 9999)))
            units = frozenset(row.get("units", ()))
            for mark, names in row.items():
                if mark not in ("years", "units"):
                    self._put(MintName(mark, country, (years[0], years[1]), units), names)

    def teach(self, mark: str, names: Iterable[str]) -> None:
        """A name of the person's own: on every piece."""
        self._put(MintName(mark), names)

    def know(self, mints: Iterable[str]) -> None:
        """The mints of a catalogue that writes their names out."""
        for mint in mints:
            if len(mint) > LETTERS:
                self.teach(mint, [mint, f"{mint}er"])  # `Veldener Münze`

    def _put(self, known: MintName, names: Iterable[str]) -> None:
        value = f"{known.country}|{known.mark}"
        self._known[value] = known
        self._lists.add("mintname", value, names)

    def find(self, scan: Scan, country: str | None, year: int | None, unit: str) -> tuple[str, int, int] | None:
        """Mark, start and end of the mint a title names; None when it names none, or two of different marks."""
        found = list(self._found(scan, country, year, unit))
        own = [each for each in found if not each[0].country] or found
        if len({known.mark for known, _, _ in own}) != 1:
            return None
        known, start, end = own[0]
        return known.mark, start, end

    def _found(
        self, scan: Scan, country: str | None, year: int | None, unit: str
    ) -> Iterator[tuple[MintName, int, int]]:
        for mark in scan.by.get("mintname", ()):
            known = self._known[mark.value]
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
    at = next(_unknown(scan), None)
    return "" if at is None else scan.tok(at).text


def _unknown(scan: Scan) -> Iterator[int]:
    sets = scan.lex.sets
    for mark in scan.kinds("mint.place"):
        at = scan.past(mark.end, sets["before_place"])
        if _is_place(scan, at):
            yield at
    for at, token in enumerate(scan.them if "mint" in scan.lows else ()):
        before = at - 1 - (scan.tok(at - 1).low == "-")
        if token.low != "mint" or before < 0 or scan.tok(at + 1).low in sets["mint_of"]:
            continue
        if _is_place(scan, before):
            yield before
        elif scan.tok(at - 1).kind != WORD and is_strange(scan, at + 1):
            yield at + 1  # `1805 mint Nurburg`


def _is_place(scan: Scan, at: int) -> bool:
    """A name that nobody knows; `Royal Mint`, `near mint` have none."""
    return is_strange(scan, at) and scan.tok(at).low not in scan.lex.sets["no_place"]
