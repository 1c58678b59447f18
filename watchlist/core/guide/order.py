"""In what order the issues of a guide stand."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from decimal import Decimal

from watchlist.core.guide.record import Column, Entry

Key = Callable[[Entry, Column], tuple[object, ...]]


def _year(entry: Entry, _: Column) -> tuple[object, ...]:
    issue = entry.issue
    return issue.year, issue.mint, issue.variety


def _mintage(entry: Entry, column: Column) -> tuple[object, ...]:
    struck = entry.issue.mintage
    return struck is None, struck or 0, *_year(entry, column)


def _scarcity(entry: Entry, column: Column) -> tuple[object, ...]:
    return entry.at_or_above.get(column.grade, 0), entry.offered, *_year(entry, column)


def _value(entry: Entry, column: Column) -> tuple[object, ...]:
    figure = entry.figures.get(column)
    return figure is None, -(figure.median if figure else Decimal(0)), *_year(entry, column)


def _rise(entry: Entry, column: Column) -> tuple[object, ...]:
    return entry.rise is None, -(entry.rise.share if entry.rise else 0.0), *_year(entry, column)


ORDERS: Mapping[str, tuple[Key, str]] = {
    "year": (_year, "by year and mint"),
    "mintage": (_mintage, "the fewest struck first"),
    "scarcity": (_scarcity, "the least often seen in {grade} or better first"),
    "value": (_value, "the dearest in {grade} first"),
    "rise": (_rise, "the largest rise first"),
}
"""By the word that asks for it: how to sort, and how to say so."""


def ordered(entries: Iterable[Entry], order: str, column: Column) -> tuple[Entry, ...]:
    """The entries in an order; the column is the grade that scarcity and value look at."""
    key, _ = ORDERS[order]
    return tuple(sorted(entries, key=lambda entry: key(entry, column)))
