"""Rows of exchange rates: units of a currency for one unit of the home currency, by month."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from decimal import Decimal, InvalidOperation
from functools import partial

from watchlist.core.imports.cells import currency, named, quoted
from watchlist.core.imports.context import Context
from watchlist.core.imports.dates import month
from watchlist.core.imports.headings import SIGNS
from watchlist.core.imports.kind import File, Kind
from watchlist.core.imports.record import CellError, ImportRefused, Row, Table
from watchlist.core.money.codes import known_codes

INVERSE = re.compile(r"(?i)(?<![^\W_])(?:in|en)[\s_(]+(?:[A-Z]{3}|[€£$])\W*$")
"""`rate in EUR`: what one unit costs, the other way round."""
WORD = re.compile(r"[A-Z]{3,}(?![a-z])|[A-Z]?[a-z]+")
"""Words of a heading: `unitsPerEUR` has three."""
SURE = re.compile(r"\d+([.,])(?:\d{1,2}|\d{4,})", re.ASCII)


@dataclass(frozen=True, slots=True)
class RateRow:
    """Units of a currency for one home unit in one month."""

    currency: str
    month: str
    """`YYYY-MM`."""
    units: Decimal


def _refuse(table: Table, context: Context) -> None:
    """Raises ImportRefused when a column is missing or the rates are for another home currency."""
    heading, home = table.columns.get("units_per", ""), context.home
    for name in ("month", "currency"):
        if name not in table.columns:
            raise ImportRefused(
                f"The file has no column `{name}`, so nothing was taken; head the columns `month`, "
                f"`currency` and `units_per_{home}`."
            )
    if not heading:
        raise ImportRefused(
            f"The file has no column `units_per_{home}`, so nothing was taken: the heading must say "
            "for one unit of which currency the rates are."
        )
    stated = _stated(heading, context)
    if not stated or INVERSE.search(heading):
        what = f"{stated} for one unit of each" if stated else "no currency for one unit of which they are"
        raise ImportRefused(
            f"The heading `{heading}` of the rates names {what}, so nothing was taken: it must say for "
            f"one unit of which currency the rates are; head the column `units_per_{home}` if they are "
            f"units for one {home}."
        )
    if stated != home:
        raise ImportRefused(
            f"The column `{heading}` gives rates for one {stated}, but the home currency is {home}, so "
            f"nothing was taken; bring a file with `units_per_{home}`."
        )


def _stated(heading: str, context: Context) -> str:
    """The currency for one unit of which a heading gives rates: the last code or sign in it; empty without one."""
    codes = known_codes(context.words["money"])
    signs = {sign: code for sign, code in SIGNS.items() if sign in heading}
    named = [word for word in WORD.findall(heading) if word.upper() in codes and (word.isupper() or word.islower())]
    last = "".join(letter for letter in heading if letter.isalpha())[-3:].upper()  # `unitspereur`
    return named[-1].upper() if named else next(iter(signs.values()), last if last in codes else "")


def _learn(texts: Iterable[str]) -> str:
    """The decimal mark of a column of rates, where four or more decimals or only one or two show it; else empty."""
    shown = [found[1] for text in texts if (found := SURE.fullmatch(text.strip()))]
    return max(",.", key=shown.count) if shown else ""


HIGHEST = 12
"""Places before and behind the mark of a rate; beyond them no currency was ever worth another."""


def _rate(mark: str, context: Context, row: Row) -> RateRow:
    when = named("month", lambda text: month(text, context), row.get("month"))
    code = named("currency", lambda text: currency(text, context), row.get("currency"))
    return RateRow(code, when, named("rate", lambda text: _units(text, mark), row.get("units_per")))


def _units(text: str, mark: str) -> Decimal:
    """A rate with any number of decimals. A lone mark is a decimal mark unless the column uses the other one."""
    bare = "".join(text.split())
    marks = {letter for letter in bare if letter in ",."}
    decimals = bare[max(bare.rfind(","), bare.rfind("."))] if len(marks) == 2 else mark or next(iter(marks), ".")
    bare = bare.replace("." if decimals == "," else ",", "").replace(",", ".")
    try:
        units = Decimal(bare)
    except InvalidOperation:
        raise CellError(f"{quoted(text)} is not a valid number") from None
    if units.is_finite() and not -HIGHEST < units.adjusted() < HIGHEST:
        raise CellError(f"{quoted(text)} is too large or too small to be a rate")
    if not units.is_finite() or units <= 0:
        raise CellError(f"{quoted(text)} is not a rate above zero")
    return units


def _open(file: File) -> Callable[[Row], RateRow]:
    mark = file.context.decimal_mark or _learn(row.get("units_per") for row in file.table.rows)
    return partial(_rate, mark, file.context)


RATES = Kind(
    "a list of rates",
    (),  # they say themselves what they lack, with their home currency
    _open,
    refuse=_refuse,
    same=lambda rate: (rate.currency, rate.month),
    again_note="several rates of one month are given: the last one of each month counts",
)
