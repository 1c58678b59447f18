"""Rows of a price guide: a low and a high for an issue and a grade range, in home currency."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from functools import partial

from watchlist.core.coins.issue import Issue
from watchlist.core.imports.cells import money, named, price, quoted
from watchlist.core.imports.context import Context
from watchlist.core.imports.dates import EARLIEST, day, month
from watchlist.core.imports.grade import grade
from watchlist.core.imports.kind import COIN, File, Kind
from watchlist.core.imports.record import CellError, Row
from watchlist.core.money.amount import Money
from watchlist.core.prices.realised import GuideRow

AMOUNTS = ("low", "high", "value")


def _guide(file: File, row: Row) -> GuideRow:
    when = _date(row.get("date"), file)
    low = _home(row, "low" if row.get("low") else "value", when, file)
    high = _home(row, "high" if row.get("high") else "value" if row.get("value") else "low", when, file, top=True)
    if low > high:
        raise CellError(f"the low price {quoted(row.get('low'))} is above the high one {quoted(row.get('high'))}")
    issue, _, _ = file.finder.of_row(row)
    lowest, highest = _grades(row, issue, file.context)
    return GuideRow(issue.key, lowest, highest, float(low), float(high), when)


def _grades(row: Row, issue: Issue, context: Context) -> tuple[int, int]:
    texts = [text for column in ("grade", "min_grade", "max_grade") if (text := row.get(column))]
    if not texts:
        raise CellError("the grade is missing")
    coin = issue.country, issue.denomination
    read = [named("grade", lambda cell: grade(cell, *coin, context), text) for text in texts]
    return min(one.low for one in read), max(one.high for one in read)


def _date(text: str, file: File) -> date:
    if not text:
        file.context.note("guide prices without a date count as of today")
        return file.context.today
    if text.isdecimal() and len(text) == 4 and EARLIEST <= int(text) <= file.context.today.year:
        return date(int(text), 1, 1)  # the edition of a year
    try:
        return day(text, file.order, file.context)
    except CellError as error:
        try:
            return date.fromisoformat(f"{month(text, file.context)}-01")
        except CellError:
            raise CellError(f"the date {error}") from None


def _home(row: Row, column: str, when: date, file: File, *, top: bool = False) -> Decimal:
    """An amount of the row in home currency; the upper end of a value that is a range (`100-150`) with `top`."""
    text, code, context = row.get(column), row.get("currency"), file.context
    read = named(f"{column} price", lambda cell: money(cell, code, file.mark, context, kind=column), text)
    if top and column == "value" and (high := price(text, code, file.mark, context, kind=column).high) is not None:
        read = Money(high, read.currency)
    if read.amount <= Decimal(0):
        raise CellError(f"the {column} price {quoted(text)} is zero")
    changed = _changed(read, when, context)
    if changed is None:
        raise CellError(f"there is no exchange rate of {read.currency} to {context.home} near {when:%Y-%m}")
    return changed.amount


def _changed(amount: Money, when: date, context: Context) -> Money | None:
    if amount.currency == context.home:
        return amount
    return context.rates.convert(amount, when) if context.rates else None


GUIDE = Kind(
    "a price guide",
    (*COIN, ("low", "value"), ("high", "value")),
    lambda file: partial(_guide, file),
    amounts=AMOUNTS,
    dates="date",
)
