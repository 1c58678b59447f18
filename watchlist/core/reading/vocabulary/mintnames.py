"""Mints by their names: the mark that pieces of a named mint carry."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from watchlist.core.reading.vocabulary.lexicon import Lexicon

LETTERS = 4
"""A catalogue's own mint of more letters than that is a name, written out in titles."""
EVER = (-3000, 9999)


@dataclass(frozen=True, slots=True)
class MintName:
    """A mark, and the pieces on which the name of its mint gives it."""

    mark: str
    country: str = ""
    """A country's code; empty is any, as with the person's own mints."""
    years: tuple[int, int] = EVER
    units: frozenset[str] = frozenset()

    def fits(self, country: str | None, year: int | None, unit: str) -> bool:
        """Whether a piece of this country, year and unit carries it."""
        if not self.country:
            return True
        dated = year is None or self.years[0] <= year <= self.years[1]
        return self.country == country and dated and (not self.units or unit in self.units)


class MintNames:
    """All mint names known."""

    def __init__(self, table: Mapping[str, Any], lex: Lexicon) -> None:
        self._lex = lex
        self.known: dict[str, MintName] = {}
        """By the value of their sense in the lexicon."""
        for country, row in table.items():
            first, last = row.get("years", EVER)
            since = row.get("since", {})
            units = frozenset(row.get("units", ()))
            for mark, names in row.items():
                if mark not in ("years", "since", "units"):
                    self._put(MintName(mark, country, (since.get(mark, first), last), units), names)

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
        self.known[value] = known
        self._lex.add("mintname", value, names)
