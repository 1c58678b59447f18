"""Denominations as the person's own catalogue spells them, found by any spelling."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping

from watchlist.core.reading.vocabulary.tokens import tokens

SAME_UNITS: Mapping[str, str] = {
    "lire": "lira",
    "dukaten": "ducat", "dukat": "ducat", "dukaat": "ducat", "rouble": "ruble", "roubles": "ruble", "kopeck": "kopek",
    "kopecks": "kopek", "zlotych": "zloty", "drachmai": "drachma", "kurus": "kurush", "prutah": "pruta",
    "kronor": "krona", "kroner": "krone", "kronen": "krone", "pence": "penny", "reales": "real", "lei": "leu",
    "francs": "franc", "pesetas": "peseta", "scudi": "scudo", "soldi": "soldo", "leva": "lev", "markkaa": "markka",
    "centesimi": "centesimo", "pennia": "penni", "halfpenny": "half penny", "franken": "franc", "thaler": "taler",
    "soles": "sol", "dukaton": "ducaton", "piastra": "piastre", "piaster": "piastre", "rupia": "rupee",
    "rupie": "rupee", "obole": "obol", "corona": "krone", "coronas": "krone", "triente": "tremissis",
    "colones": "colon", "onza": "oz", "onzas": "oz", "lewa": "lev", "piastras": "piastre",
}  # fmt: skip


AND_A_HALF = re.compile(r"\b(\d+) (?:½|1 / 2)(?= )")
FRACTION_WORDS = (("1 / 2", "half"), ("½", "half"), ("1 / 4", "quarter"), ("¼", "quarter"), ("1 / 3", "third"))
DECIMALS = {"0.1": "1 / 10", "0.2": "1 / 5", "0.25": "quarter", "0.5": "half", "0.05": "1 / 20"}
NO_PLURAL = frozenset(("reis", "cash", "tremissis"))


def _singular(word: str) -> str:
    return word[:-1] if len(word) > 3 and word.endswith("s") and word not in NO_PLURAL else word


def same_denomination(text: str) -> str:
    """A key under which two spellings of one denomination are equal: plurals, 1/2 or half, with or without 1."""
    line = AND_A_HALF.sub(r"\1.5", " ".join(token.low for token in tokens(text)))
    for figures, word in FRACTION_WORDS:
        line = line.replace(figures, word)
    parts = [DECIMALS.get(word) or SAME_UNITS.get(word, _singular(word)) for word in line.split()]
    if parts and parts[0] in ("1", "one") and parts[1:2] != ["/"]:
        parts = parts[1:] or parts
    return " ".join(parts)


ENDINGS = ("s", "es", "e", "en", "n", "er", "i", "or", "ar")
"""What other tongues and plurals add to a unit that no list knows: `5 kronor` of a catalogue's `5 kron`."""
KINDRED: Mapping[str, str] = {
    word: family.split()[0]
    for family in (
        "crown kron krona krone kronen koruna korona couronne corona coroa kroon kronur", "mark marka markka",
        "taler tallero daler daalder riksdaler tolar", "centime centimo centesimo centavo", "florin fiorino",
        "ecu scudo escudo", "shilling schilling skilling", "grosz groschen", "pfennig fenig",
    )
    for word in family.split()
}  # fmt: skip
"""One name of a unit in many tongues: taken for another only where the catalogue has just one of them."""


class Spellings:
    """The denominations of one catalogue, found by any spelling: `1 dukat` is its `ducat`, `50 öre` its `50 ore`."""

    def __init__(self, names: Iterable[str] = ()) -> None:
        self._names: dict[str, str] = {}
        self._kindred: dict[str, set[str]] = {}
        for name in names:
            self.know(name)

    def __bool__(self) -> bool:
        return bool(self._names)

    def know(self, name: str) -> None:
        """A denomination as the catalogue spells it; the first of two spellings of one stays."""
        key = same_denomination(name)
        name = self._names.setdefault(key, name)
        self._kindred.setdefault(_family(key), set()).add(name)

    def exactly(self, text: str) -> str | None:
        """The catalogue's spelling of a denomination that differs by plural, accents or a known double at most."""
        return self._names.get(same_denomination(text))

    def find(self, text: str) -> str | None:
        """The catalogue's spelling of a denomination, also one with another tongue's ending."""
        key = same_denomination(text)
        if found := self._names.get(key):
            return found
        number, _, unit = key.rpartition(" ")
        stems = (unit[: -len(end)] for end in ENDINGS if unit.endswith(end) and len(unit) > len(end) + 2)
        alike = {self._names[stem] for stem in (f"{number} {stem}".strip() for stem in stems) if stem in self._names}
        alike = alike or self._kindred.get(_family(key), set())
        return next(iter(alike)) if len(alike) == 1 else None


def _family(key: str) -> str:
    return " ".join(KINDRED.get(word, word) for word in key.split())
