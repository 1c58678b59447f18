"""What leaves the program for a spreadsheet or a script: tables as CSV, and as JSON lines."""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Iterable, Iterator, Mapping, Sequence

from watchlist.core.clean import clean

Row = Mapping[str, object]
"""A row of a table, by the names of its columns; None or empty: not known."""

RISKY = ("=", "+", "-", "@", "\t", "\r")


def safe_cell(text: str) -> str:
    """A cell that no spreadsheet takes for a formula; plain negative numbers stay numbers."""
    if text.startswith(RISKY) and not _is_number(text):
        return "'" + text
    return text


def _is_number(text: str) -> bool:
    try:
        float(text)
    except ValueError:
        return False
    return True


def csv_lines(columns: Sequence[str], rows: Iterable[Row]) -> Iterator[str]:
    """The table as CSV, a line a row; no cell is taken for a formula, none holds a break or a control."""
    yield _csv_line(columns)
    for row in rows:
        yield _csv_line([safe_cell(_text(row.get(name))) for name in columns])


def _csv_line(cells: Sequence[str]) -> str:
    made = io.StringIO()
    csv.writer(made, lineterminator="").writerow(cells)
    return made.getvalue()


def json_lines(columns: Sequence[str], rows: Iterable[Row]) -> Iterator[str]:
    """The table as JSON, an object a line; what is not known is null."""
    for row in rows:
        cells = {name: _plain(row.get(name)) for name in columns}
        yield json.dumps({"schema": 1, **cells})


def _text(value: object) -> str:
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else ""
    if isinstance(value, tuple | list):
        return ", ".join(map(_text, value))
    return clean(str(value), len(str(value)))


def _plain(value: object) -> object:
    if isinstance(value, tuple | list):
        return [_plain(each) for each in value]
    if isinstance(value, bool | int | float):
        return value
    return None if value is None else _text(value)
