"""Denominations in their canonical form: plain lower-case words, number first."""

from __future__ import annotations

from watchlist.core.reading.fields.facevalues import Value, find_values
from watchlist.core.reading.scanning.scan import Scan
from watchlist.core.reading.vocabulary.lexicon import Lexicon
from watchlist.core.reading.vocabulary.tokens import YEARS
from watchlist.core.reading.vocabulary.vocabulary import Vocabulary

US_CENTS = {0.5: "half cent", 1: "cent", 10: "dime", 25: "quarter dollar", 50: "half dollar", 100: "dollar"}
DOLLAR_LANDS = frozenset({"US", "HAW", "PH"})
CENT_OF = {
    **dict.fromkeys(("FR", "BE", "CH", "LU", "MC", "TN"), "centime"),
    **dict.fromkeys(("IT", "SM", "VA"), "centesimo"),
}
"""What `c.` is short for in a country."""
EURO = 1999
"""From then on a cent of these countries is one of the euro's."""
CROWN_OF = {"SE": ("krona", "kronor"), "DK": ("krone", "kroner"), "NO": ("krone", "kroner"), "IS": ("krona", "kronur")}
CROWNS = frozenset(("krone", "krona"))
HALVED = frozenset(
    ("penny", "dollar", "crown", "sovereign", "anna", "rupee", "cent", "dime", "farthing", "guinea", "pound", "eagle",
     "ducat", "ecu", "franc", "gulden", "groat", "shilling")
)  # fmt: skip
"""Units of which the trade says a half, not 1/2."""
UNDERS = (2, 3, 4, 5, 6, 8, 10, 12, 16, 20, 24, 32, 48, 96, 100)
"""Parts that units were struck in."""
SURE = 0.8
"""A word that is sure to be a denomination; a lesser one (`half`) must be the whole cell."""


def canonical_cell(text: str, country: str, vocabulary: Vocabulary) -> str:
    """A denomination cell in canonical words: `10c` of the United States is `dime`."""
    as_written = " ".join(text.lower().split())
    scan = Scan(text, vocabulary.lex)
    whole = len(scan.them)
    values = [value for value in find_values(scan) if value.score >= SURE or value.end - value.start == whole]
    if not values or vocabulary.spellings.exactly(as_written):
        return vocabulary.spelt[as_written]
    best = max(values, key=lambda value: (value.end - value.start, value.score))  # `half mark`, not `half`
    code = vocabulary.country_code(country) or best.country or ("US" if not country else "")
    return vocabulary.spelt[canonical(best, code, scan)]


def canonical(value: Value, country: str | None, scan: Scan) -> str:
    """The denomination in plain lower-case words, number first; a country may have its own name for it."""
    name = _canonical(value, country, scan)
    return scan.lex.abroad.get(country or "", {}).get(name, name)


def _canonical(value: Value, country: str | None, scan: Scan) -> str:
    if value.coin:
        return value.coin
    cents = _us_cents(value, country, scan.lex)
    if cents is not None:
        return _of_the_us(cents, value.unit, scan)
    if value.unit == "penny" and value.number == 0.25:
        return "farthing"
    unit = scan.lex.units[value.unit]
    name, many = unit.name, unit.many
    if value.unit in CROWNS:
        name, many = CROWN_OF.get(country or "", (name, many))
    if value.unit == "cent" and country in CENT_OF and (value.short or _before_euro(scan)):
        unit = scan.lex.units[CENT_OF[country]]
        name, many = unit.name, unit.many
    return worded(value.number, name, many, alone=unit.alone)


def _before_euro(scan: Scan) -> bool:
    """`10 cent 1894`, `50 cent. 1920`: a year stands in the text, and none of the euro's."""
    years = [token.number for token in scan.them if token.number in YEARS and len(token.low) == 4]
    return bool(years) and max(years) < EURO


def _us_cents(value: Value, country: str | None, lex: Lexicon) -> float | None:
    """What a value of the United States is worth; None for money of other countries."""
    if value.unit in lex.dollars:
        return (value.number or 1) * lex.dollars[value.unit] * 100
    if value.unit == "penny" and country == "US":
        return value.number or 1
    if value.unit in ("cent", "dollar") and country in DOLLAR_LANDS:
        return (1 if value.number is None else value.number) * (100 if value.unit == "dollar" else 1)
    return None


def _of_the_us(cents: float, unit: str, scan: Scan) -> str:
    """A value of the United States by its trade name, which the metal decides for two."""
    if cents == 5 and unit in ("cent", "penny") and scan.says("silver"):
        return "half dime"
    if cents == 100 and scan.says("gold"):
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
    return f"{_figures(number)} {name if number <= 1 else many}"


def _figures(number: float) -> str:
    """`1/3`, `2.5`, `1000000`."""
    if 0 < number < 1:
        under = round(1 / number)
        if abs(number - 1 / under) < 1e-6:
            return f"1/{under}"
        parts = ((over, under) for under in UNDERS for over in (1, 2, 3) if over < under)
        if near := next((part for part in parts if abs(number - part[0] / part[1]) < 0.001), None):
            return f"{near[0]}/{near[1]}"
    return f"{number:g}" if number < 1_000_000 else f"{number:.0f}"
