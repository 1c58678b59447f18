"""Day and month cells. ISO first; day and month are never guessed: the marks or the whole column decide."""

from __future__ import annotations

import re
from collections.abc import Iterable
from datetime import date, timedelta

from watchlist.core.folding import folded
from watchlist.core.imports.cells import quoted
from watchlist.core.imports.context import Context
from watchlist.core.imports.record import CellError
from watchlist.core.times.parts import dates_in, day_of
from watchlist.core.times.text import learn_date_order
from watchlist.core.times.words import time_words

ISO = re.compile(r"(\d{4})([-/.])(\d{1,2})\2(\d{1,2})(?:[T ]\d{1,2}:\d\d.*)?", re.ASCII)
COMPACT = re.compile(r"((?:19|20)\d\d)(\d\d)(\d\d)", re.ASCII)
FIGURES = re.compile(r"(\d{1,2})\s*([-/.])\s*(\d{1,2})\s*\2\s*(\d{4}|\d\d)(?: \d{1,2}:\d\d.*)?", re.ASCII)
SERIAL = re.compile(r"([345]\d{4})(?:[.,]\d+)?", re.ASCII)
"""Days since the end of 1899, as spreadsheets count them; here 1982 to 2064."""
MONTH = re.compile(r"(\d{4})[-/.](\d{1,2})|(\d{1,2})[-/.](\d{4})", re.ASCII)
EARLIEST = 1700


def learn_order(texts: Iterable[str], context: Context) -> str | None:
    """Order of day and month in a column: the person's setting, else the dates that allow only one."""
    return context.date_order or learn_date_order(texts)


def day(text: str, order: str | None, context: Context) -> date:
    """The day a cell names, not after today; raises CellError."""
    return context.once(f"day {order}", text, lambda _: _read(text, order, context))


def _read(text: str, order: str | None, context: Context) -> date:
    try:
        made = _figures(text.strip(), order, context.today) or _words(text, order, context)
    except ValueError:
        made = "is not a day of the calendar"
    if isinstance(made, date) and made > context.today:
        made = "lies in the future"
    if isinstance(made, date) and made.year < EARLIEST:
        made = "is too long ago for a sale"
    if isinstance(made, str):
        raise CellError(f"{quoted(text)} {made}")
    return made


def _figures(text: str, order: str | None, today: date) -> date | str | None:
    """A date all in figures; None when it is not, ValueError when there is no such day."""
    if found := ISO.fullmatch(text):
        return date(int(found[1]), int(found[3]), int(found[4]))
    if found := COMPACT.fullmatch(text):
        return date(int(found[1]), int(found[2]), int(found[3]))
    if found := SERIAL.fullmatch(text):
        return date(1899, 12, 30) + timedelta(int(found[1]))
    if not (found := FIGURES.fullmatch(text)):
        return None
    first, second, year = int(found[1]), int(found[3]), int(found[4])
    if len(found[4]) == 2:
        year += 2000 if year <= today.year % 100 else 1900
    if order is None and found[2] == ".":
        order = "dmy"  # nobody writes the month first with dots
    if order is None and first != second and first <= 12 and second <= 12:
        return "can be read two ways, and no other date of the file decides; write it as 2024-03-01"
    if first > 12 or (order != "mdy" and second <= 12):
        return date(year, second, first)
    return date(year, first, second)


def _words(text: str, order: str | None, context: Context) -> date | str:
    """A date with the month in words: `1 March 2024`, `1. März 2024`, `Mar 1, 2024`."""
    found = dates_in(folded(text), time_words(context.words["times"]))
    if len(found) != 1 or found[0].year is None or found[0].short:
        return "is not a date with day, month and year"
    days = [one for one in found[0].days if one[0] in ("", "ymd", order)]
    made = day_of(found[0].year, *days[0][1:]) if len(days) == 1 else None
    return made or "is not a date with day, month and year"


def month(text: str, context: Context) -> str:
    """The month a cell names as `YYYY-MM`, from a month or a day; raises CellError."""
    if found := MONTH.fullmatch(text.strip()):
        year, number = (found[1], found[2]) if found[1] else (found[4], found[3])
        if 1 <= int(number) <= 12 and int(year) >= EARLIEST:
            return f"{year}-{int(number):02d}"
        raise CellError(f"{quoted(text)} is not a valid month")
    try:
        return day(text, context.date_order or None, context).strftime("%Y-%m")
    except CellError as error:
        try:
            return day(f"1 {text}", None, context).strftime("%Y-%m")  # March 2024
        except CellError:
            raise error from None
