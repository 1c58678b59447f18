"""Writes `cldr/`: names that the Unicode Common Locale Data Repository (CLDR) has, by way of Babel.

    python -m watchlist.words.from_cldr

Run it when a language was added, or when Babel brought a newer CLDR. It needs the test extra; the package itself does
not. Taken are the names of months, weekdays, spans of time, main currencies and lands, and the decimal mark. Babel
does not carry CLDR's numbers in words, and CLDR knows no word of the trade: those stand in `languages/`, as do forms
it lacks.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Mapping
from pathlib import Path

from babel import Locale
from babel.core import get_cldr_version
from babel.numbers import get_currency_name, get_decimal_symbol
from babel.units import format_unit

HERE = Path(__file__).parent
SHORT_TOO = frozenset(("de", "en", "es", "fr", "it", "nl"))
"""Languages of which the short names of months and the spans of time are taken too. A short name of another may be a
common word of these, as the Portuguese `out` for October."""
UNITS = {604_800: "week", 86_400: "day", 3_600: "hour", 60: "minute", 1: "second"}
"""Spans of time, in seconds."""
CURRENCIES = ("CHF", "EUR", "GBP", "USD")
"""What most sales of coins are held in."""
COUNTS = (1, 2, 5)
"""Counts that show every plural of these languages."""
LOCALES = {"no": "nb"}
"""Languages that CLDR knows by another code."""

NO_LANDS = {
    *("AC", "AQ", "AX", "BL", "BQ", "BV", "CC", "CP", "CQ", "CW", "CX", "DG", "DM", "EA", "EH", "EU", "EZ", "GD", "GE"),
    *("GN", "GS", "HK", "HM", "IC", "IO", "LK", "MD", "MF", "MO", "PS", "QO", "SJ", "TA", "TF", "UM", "UN", "XA", "XB"),
    "ZZ",
}
"""Territories without coins of their own, or named as another land, a state, a city, a coin or a person is."""
NO_NAMES = frozenset(("Kina", "Kína", "Maurice", "Salvador"))
"""Names that are a unit of money or a person's as well."""
PLAIN_NAME = re.compile(r"[^\W\d_]+(?:[ .'-]{1,2}[^\W\d_]+){0,4}\.?")


def main() -> None:
    """Write one file for every language there is."""
    for language in languages():
        (HERE / "cldr" / f"{language}.toml").write_text(made(language), "utf-8")


def languages() -> list[str]:
    """The codes of the languages there are."""
    return sorted(path.stem for path in (HERE / "languages").glob("*.toml"))


def made(language: str) -> str:
    """The text of one language's file."""
    locale = Locale(LOCALES.get(language, language))
    head = (
        f"# {locale.english_name}, from CLDR {get_cldr_version()}; written by `python -m watchlist.words.from_cldr`.\n"
    )
    tables: dict[str, Mapping[str, list[str] | str | dict[str, list[str]]]] = {
        "times.months": _months(locale, short=language in SHORT_TOO),
        "times.weekdays": {str(day): [name.lower()] for day, name in sorted(locale.days["format"]["wide"].items())},
        "times.units": _units(locale) if language in SHORT_TOO else {},
        "money.signs": _currencies(locale),
        "money.marks": {language: str(get_decimal_symbol(locale))},
        "coinages.country": _lands(locale),
    }
    return head + "".join(_table(name, rows) for name, rows in tables.items() if rows)


def _months(locale: Locale, *, short: bool) -> dict[str, list[str]]:
    """The names in dates and those that stand alone: `5. května`, `květen`."""
    widths = ("wide", "abbreviated") if short else ("wide",)
    forms = [locale.months[use][width] for use in ("format", "stand-alone") for width in widths]
    return {str(month): _once(form[month].rstrip(".").lower() for form in forms) for month in range(1, 13)}


def _units(locale: Locale) -> dict[str, list[str]]:
    """`Tag`, `Tage`, as they stand behind a count."""

    def names(unit: str) -> list[str]:
        told = (format_unit(count, f"duration-{unit}", "long", locale=locale) for count in COUNTS)
        return _once(re.sub(r"[\d\s]", "", text).lower() for text in told)

    return {str(seconds): names(unit) for seconds, unit in UNITS.items()}


def _currencies(locale: Locale) -> dict[str, str]:
    """`Schweizer Franken`; names for one and for several, but for those as short as a code: the Czech `5 eur`."""
    names = ((get_currency_name(code, count, locale=locale), code) for code in CURRENCIES for count in COUNTS)
    return {name: code for name, code in names if len(name) > len(code)}


def _lands(locale: Locale) -> dict[str, dict[str, list[str]]]:
    """`TR = { names = ["türkei"] }`: as a coinage's file has its country."""
    names = (
        (code, name.replace("\u2019", "'").replace(" & ", " and ")) for code, name in sorted(locale.territories.items())
    )
    return {
        code: {"names": [name.lower()]}
        for code, name in names
        if len(code) == 2 and code not in NO_LANDS and name not in NO_NAMES and PLAIN_NAME.fullmatch(name)
    }


def _once(words: Iterable[str]) -> list[str]:
    return list(dict.fromkeys(words))


def _table(name: str, rows: Mapping[str, list[str] | str | dict[str, list[str]]]) -> str:
    """A table as TOML; texts and lists of texts are written as in JSON, tables of lists in one line."""
    keys = (key if re.fullmatch(r"[A-Za-z0-9]+", key) else json.dumps(key, ensure_ascii=False) for key in rows)
    lines = (f"{key} = {_value(value)}" for key, value in zip(keys, rows.values(), strict=True))
    return "\n".join(("", f"[{name}]", *lines, ""))


def _value(value: list[str] | str | dict[str, list[str]]) -> str:
    if isinstance(value, dict):
        return "{ " + ", ".join(f"{key} = {_value(each)}" for key, each in value.items()) + " }"
    return json.dumps(value, ensure_ascii=False)


if __name__ == "__main__":
    main()
