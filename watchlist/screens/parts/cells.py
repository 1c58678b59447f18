"""Rows of cells under one head."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

from watchlist.page.lists import Column, Fitted, measured


class Cells:
    """The cells of every row by its key; the columns are as wide as what stands in them."""

    def __init__(self, fit: Callable[[Sequence[Column], int], Fitted], columns: Sequence[Column] = ()) -> None:
        """`fit`: which of the columns a width has room for."""
        self._fit = fit
        self._columns = columns
        self._rows: Mapping[str, Sequence[str]] = {}

    def put(self, rows: Mapping[str, Sequence[str]], columns: Sequence[Column] = ()) -> None:
        """Other rows, and other columns where any are given."""
        self._rows = rows
        self._columns = measured(columns or self._columns, list(rows.values()))

    def __getitem__(self, key: str) -> Sequence[str]:
        return self._rows[key]

    def head(self, width: int) -> str:
        """The names of the columns."""
        return self._fit(self._columns, width).head() if self._columns else ""

    def row(self, key: str, width: int) -> str:
        """A row in one line."""
        return self._fit(self._columns, width).row(self._rows[key])

    def wrapped(self, key: str, width: int, places: Sequence[int]) -> list[str]:
        """A row whose cells of these places are never cut."""
        return self._fit(self._columns, width).wrapped(self._rows[key], places)
