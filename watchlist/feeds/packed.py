"""The rows of a file packed as bytes: a million of them take what their file takes, not ten times as much."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence

from watchlist.core.imports.record import Row

BUNDLE = 1_000
"""Rows packed together."""
CELL, ROW = "\x1f", "\x1e"
"""Between cells and between rows; a cell that was cleaned holds neither."""


class PackedRows:
    """Rows in their order; each is made anew from its cells when it is asked for."""

    def __init__(self, make: Callable[[int, Sequence[str]], Row]) -> None:
        self._make = make
        self._bundles: list[bytes] = []
        self._open: list[str] = []
        self._last: tuple[int, list[str]] = (-1, [])

    def add(self, line: int, cells: Sequence[str]) -> None:
        """One row more, by the line where it begins."""
        self._open.append(f"{line}{CELL}{CELL.join(cells)}")
        if len(self._open) == BUNDLE:
            self._bundles.append(ROW.join(self._open).encode("utf-8", "surrogatepass"))
            self._open = []

    def __len__(self) -> int:
        return len(self._bundles) * BUNDLE + len(self._open)

    def __iter__(self) -> Iterator[Row]:
        for number in range(len(self._bundles) + 1):
            yield from map(self._row, self._bundle(number))

    def __getitem__(self, at: int) -> Row:
        number, place = divmod(at, BUNDLE)
        if self._last[0] != number or number == len(self._bundles):
            self._last = (number, self._bundle(number))
        return self._row(self._last[1][place])

    def _bundle(self, number: int) -> list[str]:
        if number == len(self._bundles):
            return self._open
        return self._bundles[number].decode("utf-8", "surrogatepass").split(ROW)

    def _row(self, packed: str) -> Row:
        line, *cells = packed.split(CELL)
        return self._make(int(line), cells)
