"""The title reader: one title in, one reading out."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace
from typing import Any

from watchlist.core.folding import folded
from watchlist.core.reading.choice import filling
from watchlist.core.reading.choice.assembly import assemble
from watchlist.core.reading.fields.denominations import Spellings, canonical
from watchlist.core.reading.fields.facevalues import Value, find_values
from watchlist.core.reading.fields.namedmints import MintNames
from watchlist.core.reading.record import Reading
from watchlist.core.reading.scanning.scan import Scan
from watchlist.core.reading.vocabulary.gradegrammar import GradeGrammar
from watchlist.core.reading.vocabulary.gradescales import Scales
from watchlist.core.reading.vocabulary.lexicon import REMEMBERED, Lexicon
from watchlist.core.reading.vocabulary.tokens import tokens

EMPTY: Mapping[str, str] = {}
NO_MARKS: Mapping[tuple[str, int], frozenset[str]] = {}
ADJECTIVES = ("n", "an", "ian", "ish", "ese", "er", "isch", "ische", "ien", "ais")


@dataclass(frozen=True, slots=True)
class Correction:
    """A word taught by the person: these words mean this value of this field, at one source or at all."""

    words: str
    field: str
    """Any field of a reading, or `nothing` for words that mean nothing."""
    value: str
    source: str = ""
    """Empty: at every source."""


SURE = 0.8
"""A word that is sure to be a denomination; a lesser one (`half`) must be the whole cell."""

TAUGHT: Mapping[str, str] = {
    "country": "country", "problems": "problem", "designations": "designation", "replica": "replica.words",
    "variety": "variety", "multiple": "multiple.words", "kind": "kind", "nothing": "nothing.words",
}  # fmt: skip
"""Fields that a word can be taught for, beside denomination, mint, service and grade: what kind of word it becomes."""
TEACHABLE = ("denomination", "mint", "grade", "service", *TAUGHT)


class Reader:
    """Reads titles with one set of word tables, services and corrections. Building one takes milliseconds: keep it."""

    def __init__(
        self,
        tables: Mapping[str, Any],
        services: Iterable[str] = (),
        extra_words: Iterable[Correction] = (),
        country_hint: str = "",
        *,
        known_denominations: Iterable[str] = (),
        known_types: Mapping[str, str] = EMPTY,
        known_mints: Iterable[str] = (),
        known_countries: Iterable[str] = (),
        known_places: Mapping[str, str] = EMPTY,
        known_struck: Mapping[tuple[str, int], frozenset[str]] = NO_MARKS,
    ) -> None:
        """`known_places`: mints by name, as the catalogue's notes tell them, each with its mark; `known_struck`: the
        mint marks it lists for each denomination and year."""
        taught, services = tuple(extra_words), tuple(services)
        known_denominations, known_mints = tuple(known_denominations), tuple(known_mints)
        known_countries = tuple(known_countries)
        self._local = frozenset(c.source for c in taught if c.source)
        self._build: Callable[[str], Reader] = lambda source: Reader(
            tables, services, _at_source(taught, source), country_hint,
            known_denominations=known_denominations, known_types=known_types, known_mints=known_mints,
            known_countries=known_countries, known_places=known_places, known_struck=known_struck,
        )  # fmt: skip
        self._at: dict[str, Reader] = {}
        self.lex = Lexicon(tables, services)
        self.lex.sets = _sets(tables)
        self.lex.cared = frozenset().union(*self.lex.sets.values())
        self.grammar = GradeGrammar(Scales(tables.get("grades", {})))
        self.services = frozenset(service.casefold() for service in services)
        self.hint = country_hint
        self.mints = frozenset(known_mints) - {""}
        self.struck = known_struck
        self.mint_names = MintNames(tables.get("mints", {}), self.lex)
        self.mint_names.know(self.mints)
        for place, mark in known_places.items():
            self.mint_names.teach(mark, [place])
        self.spellings = Spellings()
        self._spelt: dict[str, str] = {}
        for name in known_denominations:
            self._know_denomination(name)
        for name, value in known_types.items():
            self.lex.add("coin", f"{value}|", [name])
        self.country_names: dict[str, str] = {}
        for name in known_countries:
            self._know_country(name)
        for correction in taught:
            if not correction.source:
                self._teach(correction)

    def read(
        self, title: str, description: str = "", fields: Mapping[str, str] = EMPTY, /, *, source: str = ""
    ) -> Reading:
        """What a title says. Never raises; spans index into the title.

        Description and column fields fill only what the title leaves open; copy words and problems count anywhere.
        """
        if source in self._local:
            return self._for(source).read(title, description, fields)
        reading = assemble(Scan(title, self.lex), self)
        if description or fields:
            reading = filling.fill(reading, description, fields, self)
        return reading

    def _for(self, source: str) -> Reader:
        """The reader with the corrections of one source, built when it is first asked for."""
        if source not in self._at:
            self._at[source] = self._build(source)
        return self._at[source]

    def canonical_denomination(self, text: str, country: str = "", /) -> str:
        """A denomination cell in plain lower-case words, number first: `10c` of the United States is `dime`."""
        as_written = " ".join(text.lower().split())
        scan = Scan(text, self.lex)
        whole = len(scan.them)
        values = [value for value in find_values(scan) if value.score >= SURE or value.end - value.start == whole]
        if not values or self.spellings.exactly(as_written):
            return self.spelt(as_written)
        best = max(values, key=lambda value: (value.end - value.start, value.score))  # `half mark`, not `half`
        code = self.country_code(country) or best.country or ("US" if not country else "")
        return self.canonical(best, code, scan)

    def canonical(self, value: Value, country: str | None, scan: Scan) -> str:
        """A denomination as the catalogue spells it, else in canonical words."""
        gold = not scan.lows.isdisjoint(self.lex.sets["gold"])
        silver = not scan.lows.isdisjoint(self.lex.sets["silver"])
        return self.spelt(canonical(value, country, self.lex, gold=gold, silver=silver))

    def spelt(self, name: str) -> str:
        """The catalogue's spelling of a denomination, where it has it."""
        if not self.spellings:
            return name
        found = self._spelt.get(name)
        if found is None:
            if len(self._spelt) >= REMEMBERED:
                self._spelt.clear()
            found = self._spelt[name] = self.spellings.find(name) or name
        return found

    def country_code(self, name: str) -> str:
        """The code of a country's name, or the name itself when no table knows it; empty for none."""
        if not name or name in self.lex.mints:
            return name
        them = tokens(name)
        found = self.lex.phrases.longest(them, 0) if them else None
        for sense in found[1] if found else ():
            if sense.kind == "country":
                return sense.value
        return name

    def _know_denomination(self, name: str) -> None:
        self.spellings.know(name)
        them = tokens(name)
        words = [token for token in them if token.kind == "w" and not self._counts(token.low)]
        if words and self.lex.phrases.longest(them, them.index(words[0])) is None:
            self.lex.add_unit(" ".join(token.low for token in words))

    def _counts(self, word: str) -> bool:
        """`half`, `zwei`: a number and no part of a unit's name."""
        node = self.lex.phrases.root.get(word)
        return node is not None and any(sense.kind == "number" for sense in node.found)

    def _know_country(self, name: str) -> None:
        code = self.country_code(name)
        if code != name:
            self.country_names[code] = name
            return
        stem = name[:-1] if name[-1:].lower() in "aeiouy" else name
        self.lex.add(
            "country", name, [name, *(stem + ending for ending in ADJECTIVES), *(name + e for e in ADJECTIVES)]
        )

    def _teach(self, correction: Correction) -> None:
        """A person's own word wins over every list."""
        words, value = correction.words, correction.value
        if correction.field == "service":
            self.services |= {words.casefold()}
            self.lex.services.add(words.casefold())
        elif correction.field == "grade":
            if band := self._band(value):
                self.lex.forget(words)
                self.grammar.scales.teach(words, band)
        elif correction.field == "mint":
            self.lex.forget(words)
            self.mint_names.teach(value, [words])
        elif correction.field == "denomination" or correction.field in TAUGHT:
            self.grammar.scales.forget(words)
            kind = TAUGHT.get(correction.field, "coin")
            self.lex.teach(kind, f"{value}|" if kind == "coin" else value, words)

    def _band(self, text: str) -> tuple[int, int] | None:
        """`40`, `40-45` or a grade word as a band."""
        low, _, high = text.partition("-")
        if low.strip().isdigit() and (not high or high.strip().isdigit()):
            return int(low), int(high or low)
        them = tokens(text)
        found = self.grammar.at(them, 0) if them else None
        return (found.low, found.high) if found and found.low is not None and found.high is not None else None


def _at_source(taught: Iterable[Correction], source: str) -> list[Correction]:
    """The corrections that hold at a source; its own come last, and so win."""
    found = sorted((c for c in taught if c.source in ("", source)), key=lambda c: bool(c.source))
    return [replace(correction, source="") for correction in found]


def _sets(tables: Mapping[str, Any]) -> dict[str, frozenset[str]]:
    """Word sets that are looked up one word at a time, folded."""
    lists = {**tables.get("coinages", {}).get("reference", {}), **tables.get("care", {})}
    return defaultdict(frozenset, {name: frozenset(map(folded, words)) for name, words in lists.items()})
