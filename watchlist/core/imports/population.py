"""Rows of a grading service's population counts: how many pieces of an issue it has certified in one grade.

A row is a grade, or an issue with a column a grade."""

from __future__ import annotations

from functools import partial

from watchlist.core.imports.cells import count, named, quoted
from watchlist.core.imports.context import Context
from watchlist.core.imports.dates import day
from watchlist.core.imports.grade import grade
from watchlist.core.imports.kind import COIN, File, Kind
from watchlist.core.imports.record import CellError, Row
from watchlist.core.imports.wide import long
from watchlist.core.prices.population import Count


def _count(file: File, row: Row) -> Count:
    service, text = " ".join(row.get("service").split()), row.get("date")
    if not service:
        raise CellError("the grading service is missing")
    issue, _, _ = file.finder.of_row(row)
    level = _grade(row.get("grade"), issue.country, issue.denomination, file.context)
    pieces = named("population", lambda cell: count(cell, file.context), row.get("population"))
    when = named("date", lambda cell: day(cell, file.order, file.context), text) if text else file.context.today
    if not text:
        file.context.note("population counts without a date count as of today")
    return Count(issue.key, service, level, pieces, when)


def _grade(text: str, country: str, denomination: str, context: Context) -> int:
    read = named("grade", lambda cell: grade(cell, country, denomination, context), text)
    if read.low != read.high:
        raise CellError(f"the grade {quoted(text)} is a range; a population is of one grade, such as MS-63")
    return read.low


POPULATION = Kind(
    "a list of population counts",
    (*COIN, ("service",), ("grade",), ("population",)),
    lambda file: partial(_count, file),
    dates="date",
    shape=long,
    same=lambda row: (row.issue, row.service.casefold(), row.grade),
    again=lambda row: f"{row.service} grade {row.grade} of {row.issue}",
)
