"""A coin in the width of a column: its date is never cut."""

from __future__ import annotations

from watchlist.core.coins.issue import Issue, coin_date
from watchlist.core.reading.record import Reading
from watchlist.page.columns import cells, cut


def coin_cell(issue: Issue | None, reading: Reading | None, width: int) -> str:
    """`5 tor 1893-M, wide date`, of the issue or as far as the title was read; the name gives way, never the date."""
    name, date, variety = _of_issue(issue) if issue else _of_reading(reading) if reading else ("", "", "")
    short = cut(name, max(width - cells(date) - 1, 0)) if date else cut(name, width)
    said = " ".join(filter(None, (short, date)))
    whole = f"{said}, {variety}" if variety and said else said
    return whole if cells(whole) <= width else said


def _of_issue(issue: Issue) -> tuple[str, str, str]:
    return issue.denomination, issue.date, issue.variety


def _of_reading(reading: Reading) -> tuple[str, str, str]:
    years = "/".join(map(str, reading.years[:2])) if reading.years else ""
    date = coin_date(reading.year, reading.mint) if reading.year is not None else years
    return reading.denomination or "", date, reading.variety or ""
