"""A list with a column a grade, as grading services print their counts, laid out as a row a grade."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

from watchlist.core.imports.cells import count
from watchlist.core.imports.context import Context
from watchlist.core.imports.grade import grade
from watchlist.core.imports.record import CellError, Row, Table

NOTHING = frozenset(("", "-", "–", "0"))
"""Cells that say that no piece was counted."""
Grades = Mapping[str, Sequence[str]]
"""A grade as its first heading names it, and all headings that mean it: `MS-63`, `MS-63+`."""


def long(table: Table, context: Context) -> Table:
    """The table with a row for each count, where no column is `grade` and headings that we do not know are grades. A
    column of totals then counts for nothing."""
    grades = {} if "grade" in table.columns else _grades(table.unknown, context)
    if not grades:
        return table
    used = {heading for headings in grades.values() for heading in headings}
    return replace(
        table,
        columns={**table.columns, "grade": ", ".join(grades), "population": ", ".join(grades)},
        rows=tuple(one for row in table.rows for one in _counts(row, grades, context)),
        unknown=tuple(heading for heading in table.unknown if heading not in used),
    )


def _grades(headings: Sequence[str], context: Context) -> Grades:
    found: dict[int, list[str]] = {}
    for heading in headings:
        if (number := _number(heading, context)) is not None:
            found.setdefault(number, []).append(heading)
    return {each[0]: each for each in found.values()}


def _number(heading: str, context: Context) -> int | None:
    try:
        read = grade(heading, "", "", context)
    except CellError:
        return None
    return read.low if read.low == read.high and not read.details else None


def _counts(row: Row, grades: Grades, context: Context) -> Iterator[Row]:
    for heading, headings in grades.items():
        cells = [cell for each in headings if (cell := row.extra.get(each, "").strip()) not in NOTHING]
        if cells:
            yield Row(row.line, {**row.values, "grade": heading, "population": _sum(cells, context)})


def _sum(cells: Sequence[str], context: Context) -> str:
    """The cells of one grade together; one that cannot be read alone, so that its row is rejected for it."""
    total = 0
    for cell in cells:
        try:
            total += count(cell, context)
        except CellError:
            return cell
    return str(total)
