"""All that words mean to a reader, built once from the lists, the catalogue and what the person has taught."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from watchlist.core.reading.vocabulary.catalogued import NOTHING, Catalogued
from watchlist.core.reading.vocabulary.corrections import TAUGHT, Correction, at_source
from watchlist.core.reading.vocabulary.gradegrammar import GradeGrammar
from watchlist.core.reading.vocabulary.gradescales import Band, Scales
from watchlist.core.reading.vocabulary.lexicon import Lexicon
from watchlist.core.reading.vocabulary.memo import Memo
from watchlist.core.reading.vocabulary.mintnames import MintNames
from watchlist.core.reading.vocabulary.spellings import Spellings
from watchlist.core.reading.vocabulary.tokens import tokens

ADJECTIVES = ("n", "an", "ian", "ish", "ese", "er", "isch", "ische", "ien", "ais")
"""What makes an adjective of a country's name, or of its stem."""
VOWELS = "aeiouy"


class Vocabulary:
    """Words, units, grades, mints and services, with the catalogue's own. Building one takes milliseconds: keep it."""

    def __init__(
        self,
        tables: Mapping[str, Any],
        services: Iterable[str] = (),
        corrections: Iterable[Correction] = (),
        catalogued: Catalogued = NOTHING,
    ) -> None:
        """`tables`: the word tables by name; `services`: the grading services that the person knows."""
        self._lists = (tables, tuple(services))
        self._corrections = tuple(corrections)
        self._catalogued = catalogued
        self._sources = frozenset(each.source for each in self._corrections if each.source)
        self._at: dict[str, Vocabulary] = {}
        self.lex = Lexicon(*self._lists)
        self.grammar = GradeGrammar(Scales(tables.get("grades", {})))
        self.mint_names = MintNames(tables.get("mints", {}), self.lex)
        self.spellings = Spellings()
        self.spelt: Memo[str, str] = Memo(lambda name: self.spellings.find(name) or name)
        """A denomination as the catalogue spells it, where it has it."""
        self.mints = frozenset(catalogued.mints) - {""}
        self.struck = catalogued.struck
        self.country_names: dict[str, str] = {}
        """The catalogue's names of countries, by their codes."""
        self._learn(catalogued)
        for correction in self._corrections:
            if not correction.source:
                self._teach(correction)

    def at(self, source: str) -> Vocabulary:
        """The vocabulary with the corrections of one source too, built when it is first asked for."""
        if source not in self._sources:
            return self
        if source not in self._at:
            self._at[source] = Vocabulary(*self._lists, at_source(self._corrections, source), self._catalogued)
        return self._at[source]

    def country_code(self, name: str) -> str:
        """The code of a country's name, or the name itself when no table knows it; empty for none."""
        if not name or name in self.lex.mints:
            return name
        them = tokens(name)
        found = self.lex.phrases.longest(them, 0) if them else None
        senses = found[1] if found else ()
        return next((sense.value for sense in senses if sense.kind == "country"), name)

    def _learn(self, catalogued: Catalogued) -> None:
        self.mint_names.know(self.mints)
        for place, mark in catalogued.places.items():
            self.mint_names.teach(mark, [place])
        for name in catalogued.denominations:
            self._learn_denomination(name)
        for name, value in catalogued.types.items():
            self.lex.add("coin", f"{value}||type", [name])
        for name in catalogued.shared:
            self.lex.add("shared.type", name, [name])
        for name in catalogued.countries:
            self._learn_country(name)

    def _learn_denomination(self, name: str) -> None:
        self.spellings.know(name)
        them = tokens(name)
        words = [token for token in them if token.kind == "w" and not self._counts(token.low)]
        if words and self.lex.phrases.longest(them, them.index(words[0])) is None:
            self.lex.add_unit(" ".join(token.low for token in words))

    def _counts(self, word: str) -> bool:
        """`half`, `zwei`: a number and no part of a unit's name."""
        node = self.lex.phrases.root.get(word)
        return node is not None and any(sense.kind == "number" for sense in node.found)

    def _learn_country(self, name: str) -> None:
        code = self.country_code(name)
        if code != name:
            self.country_names[code] = name
            return
        stem = name[:-1] if name[-1:].lower() in VOWELS else name
        self.lex.add("country", name, [name, *(root + ending for root in (stem, name) for ending in ADJECTIVES)])

    def _teach(self, correction: Correction) -> None:
        """A person's own word wins over every list."""
        words, field, value = correction.words, correction.field, correction.value
        if field == "service":
            self.lex.services |= {words.casefold()}
        elif field == "grade":
            if band := self._band(value):
                self.lex.forget(words)
                self.grammar.scales.teach(words, band)
        elif field == "mint":
            self.lex.forget(words)
            self.mint_names.teach(value, [words])
        elif field == "denomination" or field in TAUGHT:
            self.grammar.scales.forget(words)
            kind = TAUGHT.get(field, "coin")
            self.lex.teach(kind, f"{value}|" if kind == "coin" else value, words)

    def _band(self, text: str) -> Band | None:
        """`40`, `40-45` or a grade word as a band."""
        low, _, high = text.partition("-")
        if low.strip().isdecimal() and (not high or high.strip().isdecimal()):
            return int(low), int(high or low)
        them = tokens(text)
        found = self.grammar.at(them, 0) if them else None
        return (found.low, found.high) if found else None
