"""Single cells: amounts, counts, measures, years, yes and no. What cannot be read raises CellError with the reason."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import replace
from typing import Any, TypeVar

from watchlist.core.folding import any_of, plain
from watchlist.core.imports.context import Context, decimal
from watchlist.core.imports.record import CellError, Table
from watchlist.core.money.amount import Money
from watchlist.core.money.cell import currency_of, read_cell
from watchlist.core.money.codes import known_codes, nearest_code
from watchlist.core.money.text import PriceRead, learn_decimal_mark
from watchlist.core.tables import once

Value = TypeVar("Value")

SHOWN = 60
"""Characters of a cell quoted in a sentence."""
PLAIN_AMOUNT = re.compile(r"\d{1,9}(?:[.,]\d{1,2})?")
GROUPS = re.compile(r"\d{1,3}(?:([.,'’ \u00a0\u202f])\d{3})(?:\1\d{3})*")
MEASURE = re.compile(  # whatever letters a language adds to `gram`
    r"(?:ca?\.?\s*|circa\s*|about\s*|[~±+]\s*)?(\d{1,6}(?:[.,]\d{1,6})?)\s*(?:g|gr|gram[a-z]{0,3}|mm)?\.?",
    re.IGNORECASE,
)
YEAR = re.compile(r"(-?\d{1,4})(?:\s*/\s*(\d{1,4}))?(?:(?:\s*-\s*|\s+)?([A-Za-z]{1,3}))?")
LAST_YEAR = 2100


def quoted(text: str) -> str:
    """A cell as a sentence shows it."""
    text = " ".join(text.split())
    return f"`{text if len(text) <= SHOWN else text[: SHOWN - 1] + '…'}`"


@once
def _cells(columns: Mapping[str, Any]) -> dict[str, frozenset[str]]:
    return {name: frozenset(word.casefold() for word in words) for name, words in columns["cells"].items()}


def means(text: str, what: str, words: Mapping[str, Any]) -> bool:
    """Whether a whole cell is one of the words of `[cells]` of the table `columns`."""
    return text.strip().casefold() in _cells(words["columns"])[what]


def mentions(text: str, what: str, words: Mapping[str, Any]) -> bool:
    """Whether a text holds one of the words of `[cells]`; a word begins where the one in the list begins."""
    small = f" {' '.join(text.casefold().split())}"
    return any(f" {word}" in small for word in _cells(words["columns"])[what])


def yes(text: str, context: Context) -> bool:
    """Yes or no in any language; empty is no."""
    if not text or means(text, "no", context.words):
        return False
    if means(text, "yes", context.words):
        return True
    raise CellError(f"{quoted(text)} is neither yes nor no")


def learn_mark(table: Table, columns: Iterable[str], context: Context) -> str | None:
    """The decimal mark of a file's amounts: the person's setting, else what they all show."""
    names = tuple(columns)
    texts = (text for row in table.rows for name in names if (text := row.get(name)) and not text.isdecimal())
    return context.decimal_mark or learn_decimal_mark(texts)


def currency(text: str, context: Context) -> str:
    """An ISO code, or the code that a sign or a short name stands for; raises CellError."""
    return context.once("currency", text, lambda _: _currency(text, context))


def _currency(text: str, context: Context) -> str:
    if found := currency_of(text, context.words["money"], context.currency, context.home)[0]:
        return found
    near = nearest_code(text, known_codes(context.words["money"]))
    hint = f" (did you mean {near}?)" if near else "; write its ISO 4217 code"
    raise CellError(f"{quoted(text)} is not a known currency{hint}")


def money(text: str, column: str, mark: str | None, context: Context, *, kind: str = "", venue: str = "") -> Money:
    """One amount with the currency of its column, of its own text, or the one assumed (with a note); raises CellError.

    `kind` is the column of the amount; `venue` is the currency of the sale's venue, which settles a shared mark.
    """
    read = price(text, column, mark, context, kind=kind, venue=venue)
    assert read.amount is not None
    if read.currency:
        return Money(read.amount, read.currency)
    if not context.currency:
        context.note(f"amounts without a currency are taken as {context.home}, the home currency")
    return Money(read.amount, context.currency or context.home)


def price(text: str, column: str, mark: str | None, context: Context, *, kind: str = "", venue: str = "") -> PriceRead:
    """What a cell of prices says beside its column of currencies, a range where its kind may be one; raises
    CellError."""
    code = _code(column, venue, context)
    if PLAIN_AMOUNT.fullmatch(text) and (code or not column):
        return PriceRead(decimal(text), code or None, None, "")
    own = venue or context.currency or None
    read = context.once(
        "price",
        "\0".join((kind, mark or "", column, venue, text)),
        lambda _: read_cell(
            text, context.words["money"], kind=kind, column=column, decimal_mark=mark, currency=own, home=context.home
        ),
    )
    if read.amount is not None:
        return read if read.sign or code else replace(read, currency=None)
    if column and not code:
        currency(column, context)  # it says what is near
    raise CellError(
        f"{quoted(text)} is not a valid amount ({read.note})" if read.note else f"{quoted(text)} is not a valid amount"
    )


def _code(column: str, venue: str, context: Context) -> str:
    """The code that a cell of currencies means; empty where none is."""
    own = venue or context.currency
    read = context.once(
        "code", f"{venue}\0{column}", lambda _: currency_of(column, context.words["money"], own, context.home)
    )
    return read[0]


@once
def _millions(around: Mapping[str, Any]) -> re.Pattern[str]:
    return re.compile(rf"(\d+(?:[.,]\d+)?)\s*(?:m|mn|mill|{any_of(around['million'])})\.?", re.IGNORECASE)


def count(text: str, context: Context, what: str = "number") -> int:
    """A whole number with any group mark (`1.250.000`, `1,250,000`, `1 250 000`, `1.2 Mio.`); raises CellError."""
    bare = text.strip().lstrip("~c.a ").rstrip(" .")
    if found := _millions(context.words["money"]["around"]).fullmatch(plain(bare)):
        return int(decimal(found[1]) * 1_000_000)
    if GROUPS.fullmatch(bare) or (bare.isascii() and bare.isdecimal()):
        return _whole(bare)
    if re.fullmatch(r"\d+[.,]0+", bare) and bare.isascii():  # 3.0 from a spreadsheet
        return _whole(re.split("[.,]", bare)[0])
    raise CellError(f"{quoted(text)} is not a valid {what}")


def _whole(text: str) -> int:
    digits = re.sub(r"\D", "", text)
    if len(digits) > 15:
        raise CellError(f"{quoted(text)} is too large")
    return int(digits)


def measure(text: str) -> float:
    """A weight in grams or a length in millimetres above nothing, decimal point or comma; raises CellError."""
    found = MEASURE.fullmatch(text.strip())
    value = float(decimal(found[1])) if found and found[1].isascii() else 0.0
    if value <= 0:
        raise CellError(f"{quoted(text)} is not a valid measure")
    return value


def era(written: str) -> str:
    """A pattern for an abbreviation: `v. chr.` without its dots and blanks too, `a.c.` with its first dot alone."""
    loose = {". ": r"\.?\s?", ".": r"\.\s?", "-": "-?", " ": r"\s?"}
    parts = re.split(r"(\. |\.|-| )", written.removesuffix("."))
    return "".join(loose.get(part, re.escape(part)) for part in parts) + r"\.?"


@once
def _eras(columns: Mapping[str, Any]) -> tuple[re.Pattern[str], re.Pattern[str]]:
    """What says that a year is before the common era, and that it is of it."""
    listed = (columns["cells"][name] for name in ("before_christ", "our_era"))
    either = ("|".join(map(era, sorted(each, key=len, reverse=True))) for each in listed)
    before, our = (re.compile(rf"\b(?:{words})(?!\w)", re.IGNORECASE) for words in either)
    return before, our


def year(text: str, words: Mapping[str, Any]) -> tuple[int, str]:
    """Western year (negative before the common era) and a mint mark glued to it; raises CellError.

    `1899`, `1899-M`, `1942/1` (the final date), `AD 79`, `44 BC`, `-44`. A bare figure under 100 may be short for a
    year of a century and is not taken.
    """
    before_christ, our_era = _eras(words["columns"])
    bare, before = before_christ.subn(" ", text)
    bare, after = our_era.subn(" ", bare) if not before else (bare, 0)
    found = YEAR.fullmatch(bare.strip())
    if not found or not bare.isascii():
        raise CellError(f"{quoted(text)} is not a single year")
    number, mint = int(found[1]), found[3] or ""
    if found[2] and len(found[2]) == 4 and found[2] != found[1]:
        raise CellError(f"{quoted(text)} is not a single year")
    if 0 <= number < 100 and not before and not after:
        raise CellError(f"{quoted(text)} may be short for a year; write all four figures, or AD")
    if number == 0 or number > LAST_YEAR:
        raise CellError(f"{quoted(text)} is not a valid year")
    return (-abs(number) if before else number), mint


def overdate(text: str) -> str:
    """The die variety that a year cell names: `1942/1` gives `1942/1`, a plain year nothing."""
    found = YEAR.fullmatch(text.strip())
    return re.sub(r"\s", "", text) if found and found[2] and not found[3] else ""


def named(label: str, read: Callable[[str], Value], text: str) -> Value:
    """What `read` makes of a cell that must not be empty; CellErrors come out as `the price ...`."""
    if not text:
        raise CellError(f"the {label} is missing")
    try:
        return read(text)
    except CellError as error:
        raise CellError(f"the {label} {error}") from None
