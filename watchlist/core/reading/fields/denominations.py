"""Denominations in their canonical form: plain lower-case words, number first."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping

from watchlist.core.reading.fields.facevalues import Value
from watchlist.core.reading.vocabulary.lexicon import Lexicon
from watchlist.core.reading.vocabulary.tokens import tokens

US_CENTS = {
    0.5: "half cent", 1: "cent", 10: "dime", 25: "quarter dollar", 50: "half dollar", 100: "dollar",
}  # fmt: skip
DOLLAR_LANDS = frozenset({"US", "HAW", "PH"})
CENT_OF = {"FR": "centime", "BE": "centime", "CH": "centime", "LU": "centime", "MC": "centime", "TN": "centime"}
CROWN_OF = {"SE": ("krona", "kronor"), "DK": ("krone", "kroner"), "NO": ("krone", "kroner"), "IS": ("krona", "kronur")}
HALVED = frozenset(
    [
        "penny",
        "dollar",
        "crown",
        "sovereign",
        "anna",
        "rupee",
        "cent",
        "dime",
        "farthing",
        "guinea",
        "pound",
        "eagle",
        "ducat",
        "ecu",
        "franc",
        "gulden",
        "groat",
        "shilling",
    ]
)


def canonical(value: Value, country: str | None, lex: Lexicon, *, gold: bool = False, silver: bool = False) -> str:
    """The denomination in plain lower-case words, number first."""
    if value.coin:
        return _named(value, gold)
    number, unit = value.number, lex.units[value.unit]
    if value.unit in lex.values:
        _, dollars = lex.values[value.unit]
        return _dollars((number or 1) * float(dollars) * 100, gold, silver, value.unit)
    if value.unit in ("cent", "dollar") and (country in DOLLAR_LANDS):
        return _dollars(
            (number if number is not None else 1) * (100 if value.unit == "dollar" else 1), gold, silver, value.unit
        )
    if value.unit == "penny" and country == "US":
        return _dollars(number or 1, gold, silver, "cent")
    if value.unit == "penny" and number == 0.25:
        return "farthing"
    name, many = unit.name, unit.many
    if value.unit == "krone" and country in CROWN_OF:
        name, many = CROWN_OF[country or ""]
    if value.unit == "cent" and country in CENT_OF and value.short:
        name = many = CENT_OF[country or ""]
    return worded(number, name, many, alone=unit.alone)


def _named(value: Value, gold: bool) -> str:
    if value.coin == "dollar" and gold:
        return "dollar"
    return value.coin


def _dollars(cents: float, gold: bool, silver: bool, unit: str) -> str:
    """A value of the United States by its trade name."""
    if cents == 5 and silver and unit == "cent":
        return "half dime"
    if cents == 100 and gold:
        return "gold dollar"
    if cents in US_CENTS and (unit != "dollar" or cents >= 25):
        return US_CENTS[cents]
    if cents >= 100:
        return worded(cents / 100, "dollar", "dollar", alone=True)
    return worded(cents, "cent", "cent", alone=True)


def worded(number: float | None, name: str, many: str, *, alone: bool) -> str:
    """Number and unit: `penny`, `5 mark`, `2.5 gulden`, `half crown`, `1/3 taler`."""
    if number is None or (number == 1 and alone):
        return name
    if number == 0.5 and name in HALVED:
        return f"half {name}"
    text = _fraction(number)
    return f"{text} {name if number <= 1 else many}"


def _fraction(number: float) -> str:
    if number < 1:
        under = round(1 / number) if number else 0
        if under and abs(number - 1 / under) < 1e-6:
            return f"1/{under}"
        for under in (2, 3, 4, 5, 6, 8, 10, 12, 16, 20, 24, 32, 48, 96, 100):
            for over in (1, 2, 3):
                if abs(number - over / under) < 0.001 and over < under:
                    return f"{over}/{under}"
    return f"{number:g}" if number < 1_000_000 else f"{number:.0f}"


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
