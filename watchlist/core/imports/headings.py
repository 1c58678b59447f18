"""What the headings of a file mean: by the synonym lists, by the kind of import, and by what the cells hold."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Any

from watchlist.core.folding import any_of
from watchlist.core.imports.cells import era
from watchlist.core.money.minor import without_cents
from watchlist.core.tables import once

UNITS = ("g", "gr", "mm", "pct", "utc", "gmt")
"""At the end of a heading; the words for them stand with the languages."""
GROUP = re.compile(r"(?:item|lot|listing|coin|auction)[\s_-]+(?=\w)", re.IGNORECASE)
"""Before a heading, as programs name columns: `item_grade`, `listing_price`."""
SIGNS = {"€": "EUR", "£": "GBP", "$": "USD"}
CODES = frozenset(
    re.findall(
        "[A-Z]{3}",
        "EUR USD GBP CHF CAD AUD NZD JPY CNY HKD SGD INR ZAR SEK NOK DKK ISK PLN CZK HUF RON BGN TRY ILS MXN BRL ARS "
        "CLP COP PEN THB IDR MYR KRW RUB UAH AED SAR DEM FRF ITL ESP NLG ATS BEF FIM GRD IEP PTE LUF",
    )
)
"""Codes that state a currency at the end of a heading; `units_per_###` takes any."""
EUROS = ("euro", "euros")
"""At the end of a heading, in any language: `Preis in Euro`, `Prix (euros)`."""
ZONE = re.compile(r"[(\[]([A-Z]{2,5}|[A-Z][a-z]+/[A-Za-z_]+)[)\]]\s*$|[\s_]((?i:utc|gmt))$")
OWN_CODE = re.compile(r"[\s_(\[-]([A-Za-z]{3})[\])]?$")
"""A code by itself at the end of a heading; `valeur` ends in none."""
LAST_CODE = re.compile(r"[\s_-]*[A-Za-z]{3}\W*$")

Test = Callable[[str], object]
LOOKS: Mapping[str, Test] = {
    "date": re.compile(
        r"(?i)^(?=.*\d).*(?:\d{1,4}\s*[-/.]\s*\d{1,2}\s*(?:[-/.]\s*\d{1,4})?|\d{1,2}\.?\s+[^\W\d]{3,}"
        r"|[^\W\d]{3,}\.?\s+\d|\d{9,}|\d\s*[dhmj]\b)"
    ).match,
    "amount": re.compile(r"^(?=.*\d)[^\W\d]{0,4}[\s$€£¥]*[\d.,'’\s\u00a0-]+[^\W\d]{0,4}[\s$€£¥-]*$").match,
    "number": re.compile(r"^[<>~±c.a\s]*-?\d+(?:[.,]\d+)?\s*(?:g|gr|mm|%)?\.?$").match,
    "count": re.compile(r"^\(?\d[\d.,'’\s]*\)?$").match,
    "currency": re.compile(r"^(?:[A-Za-z]{3}|[$€£¥]|[A-Za-z]{2}\$)$").match,
    "url": re.compile(r"(?i)^(?:https?:)?//|^www\.").match,
    "mint": re.compile(r"^[A-Za-z]{1,2}$|^[^\W\d]{3,}[\w .'-]*$|^[-–*.]$").match,
    "code": re.compile(r"^[\w./#-]{1,24}(?: [\w./#-]{1,8})?$").match,
    "text": re.compile(r"[^\n]*[^\W\d_]").match,
    "status": re.compile(r"(?i)^(?!\d+$)[^\W\d][\w /-]{2,30}$").match,
}
"""For a look of the table `columns`, whether one cell could be that. Only used to choose between meanings."""


@once
def _spoken_looks(words: Mapping[str, Any]) -> Mapping[str, Test]:
    """The looks that rest on words."""
    cells = words["cells"]
    hour, grade = any_of(cells["hour"]), any_of(cells["grade"])
    years = "|".join(map(era, (*cells["before_christ"], *cells["our_era"])))
    yes_or_no = frozenset(word.casefold() for word in (*cells["yes"], *cells["no"]))
    return {
        "year": re.compile(
            rf"(?i)^\W*(?:(?:{years})\s*)?-?\d{{3,4}}(?:\s*/\s*\d{{1,4}})?(?:\s*[-–]\s*\d{{2,4}})?\s*"
            rf"-?[A-Z]{{0,2}}\W*(?:{years})?\W*$"
        ).match,
        "clock": re.compile(
            rf"(?i)^\d{{1,2}}\s?(?:[:.h]\s?\d\d(?::\d\d)?|(?=\s?(?:[ap]\.?m|{hour})))\s?(?:[ap]\.?m\.?|{hour})?$"
        ).match,
        "yes": lambda cell: cell.casefold() in yes_or_no,
        "service": lambda cell: cell.casefold() in yes_or_no or re.match(r"(?i)[A-Z]{2,6}.{0,12}$", cell),
        "grade": re.compile(
            r"(?i)^\W*(?:(?:ms|au|xf|ef|vf|f|vg|g|ag|pf|pr|sp|po|fr)[\s-]*\d{0,2}|[1-9]\d?\s*[-–/]\s*\d\d|\d\d?"
            rf"|(?:{grade})\b.{{0,20}})\W*$"
        ).match,
    }


@lru_cache(maxsize=4096)
def fold(heading: str) -> str:
    """A heading without case, accents, spaces and punctuation: `Los-Nr.` and `los nr` are one."""
    text = unicodedata.normalize("NFKD", heading.replace("º", "°")[:200].casefold())
    letters = "".join(c for c in text if c.isalnum() or c == "ø")
    return re.sub(r"(?<=[aou])e", "", letters)  # Waehrung is Währung


def synonyms_of(words: Mapping[str, Any], kind: str) -> dict[str, tuple[str, ...]]:
    """Folded heading to the canonical names it may mean in this kind of file, the likeliest first; a unit has none."""
    section = words["kinds"][kind]
    found: dict[str, list[str]] = {}
    for name in section["columns"]:
        for word in (name, *section.get("also", {}).get(name, ()), *words["headings"].get(name, ())):
            names = found.setdefault(fold(word.replace("###", "xxx")), [])
            if name not in names:
                # `Payment fee` is a share where a list of words says so; `payment_fee` is the column of that name.
                names.insert(0, name) if word == name and "_" not in name else names.append(name)
    for unit in words["cells"]["unit"]:
        found.setdefault(fold(unit), [])
    return {heading: tuple(names) for heading, names in found.items()}


def looks_of(words: Mapping[str, Any]) -> dict[str, Test]:
    """Canonical name to whether a cell could be one of it; a name that is not in it may hold any words."""
    tests = {**LOOKS, **_spoken_looks(words)}
    return {name: tests[looks] for looks, names in words["looks"].items() for name in names}


@dataclass(frozen=True, slots=True)
class Heading:
    """One heading of a file: the names it may mean, and what it states for all its cells."""

    text: str
    names: tuple[str, ...]
    currency: str = ""
    """`Price (EUR)`."""
    cents: bool = False
    """The amounts are hundredths: `price_cents`, `Preis (Cent)`."""

    @property
    def zone(self) -> str:
        """`Ends (UTC)`, `closing time [Europe/Berlin]`; empty where none is stated."""
        found = ZONE.search(self.text)
        return (found[1] or found[2].upper()) if found else ""


def read_heading(text: str, synonyms: Mapping[str, tuple[str, ...]]) -> Heading:
    """The names a heading may mean; a unit or a currency at its end is no part of it."""
    if names := synonyms.get(fold(text)):
        exact = re.sub(r"[_-]+", "_", text.strip().casefold())  # `grade` is no `gradé`
        names = (exact,) if exact in names else names
        return Heading(text, names, _currency_of(text))
    if names := synonyms.get(fold(LAST_CODE.sub(" xxx", _with_code(text)))):  # units_per_EUR
        return Heading(text, names)
    if names := synonyms.get(fold(without_cents(text))):
        return Heading(text, names, cents=True)
    bare, currency = _without_tail(text, synonyms)
    if names := synonyms.get(fold(bare)):
        return Heading(text, names, currency)
    group = GROUP.match(text)
    if group:
        return replace(read_heading(text[group.end() :], synonyms), text=text)
    parts = [part.strip() for part in text.split("/")]  # `Holder / grade`
    known = (synonyms.get(fold(part), ()) for part in parts if len(parts) > 1 and part)
    return Heading(text, next(filter(None, known), ()))


def _currency_of(text: str) -> str:
    """The currency that a known heading names by a sign, or by a code at its end: `hammer_eur`, `Zuschlag (EUR)`."""
    code = OWN_CODE.search(text.strip())
    named = code[1].upper() if code else ""
    return next((each for sign, each in SIGNS.items() if sign in text), named if named in CODES else "")


def _with_code(text: str) -> str:
    """`per €` as `per EUR`."""
    return next((text.replace(sign, f" {code}") for sign, code in SIGNS.items() if text.endswith(sign)), text)


def _without_tail(text: str, synonyms: Mapping[str, tuple[str, ...]]) -> tuple[str, str]:
    """Heading without a unit or currency at its end, and the currency."""
    bare = text.strip().rstrip(")]").rstrip()
    if bare and bare[-1] in SIGNS:
        return bare[:-1], SIGNS[bare[-1]]
    found = re.search(r"[\s_(\[/-]([^\W\d_]{1,8})$", bare)
    if not found:
        return bare.split("(")[0] or bare, ""
    word = found[1]
    if word.casefold() in UNITS or synonyms.get(fold(word)) == ():
        return bare[: found.start()], ""
    code = "EUR" if word.casefold() in EUROS else word.upper()
    if code in CODES:
        return re.sub(r"(?i)\s(?:in|en|em)$", "", bare[: found.start()].rstrip("( [")), code
    return bare.split("(")[0] or bare, ""


def count_known(cells: Iterable[str], synonyms: Mapping[str, tuple[str, ...]]) -> int:
    """How many cells of a line are headings that we know."""
    return sum(1 for cell in cells if cell.strip() and len(cell) < 60 and read_heading(cell, synonyms).names)


def assign(
    headings: Sequence[Heading], cells: Sequence[Sequence[str]], looks: Mapping[str, Test], given: Mapping[str, str]
) -> dict[str, int]:
    """Canonical name to column number.

    `cells` holds some cells of each column; `given` is the person's own choice (canonical name to heading) and wins.
    A heading with one meaning takes it first; among several the cells decide, then the order of the names.
    """
    taken: dict[str, int] = {}
    for name, heading in given.items():
        for number, known in enumerate(headings):
            if fold(known.text) == fold(heading) and number not in taken.values():
                taken[name] = number
                break
    scored = [
        (len(h.names) > 1, -_fits(cells[n], looks.get(name)), rank, n, name)
        for n, h in enumerate(headings)
        if n not in taken.values()
        for rank, name in enumerate(h.names)
    ]
    used = set(taken.values())
    for _, _, _, number, name in sorted(scored):
        if name not in taken and number not in used:
            taken[name] = number
            used.add(number)
    return taken


def _fits(cells: Sequence[str], test: Test | None) -> float:
    """Share of the cells that could be this; free words always fit, but less well than something definite."""
    if test is None or not cells:
        return 0.5
    return sum(1 for cell in cells if len(cell) <= 120 and test(cell.strip())) / len(cells)
