"""The observations added up by issue, some issues at a time, so that the work stays in the processor's cache."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

import numpy as np

from watchlist.market.columns import Columns
from watchlist.market.rows import Floats, Ints, Rows

ISSUES, SALES = 512, 8_192
"""Added up at a time, unless one issue alone has more."""


class Adder:
    """Each observation's place on the nodes, and its few columns that are not zero: y, age, effects."""

    def __init__(self, rows: Rows, columns: Columns, y: Floats, issues: int, nodes: int) -> None:
        self.rows, self.issues, self.nodes = rows, issues, nodes
        self.width = 2 + columns.count
        self.place: Ints = np.concatenate([np.tile([0, 1], (len(y), 1)), columns.place + 2], axis=1)
        self.value: Floats = np.concatenate([y[:, None], rows.age[:, None], columns.value], axis=1)
        self.starts: Ints = np.searchsorted(rows.issue, np.arange(issues + 1))
        self.cuts = list(pairwise(self._cuts()))

    def _cuts(self) -> Iterator[int]:
        """The first issue of each part, and the end of the last."""
        first = 0
        while first < self.issues:
            yield first
            full = int(np.searchsorted(self.starts, self.starts[first] + SALES, "right")) - 1
            first = min(max(full, first + 1), first + ISSUES, self.issues)
        yield first

    def see(self, y: Floats) -> None:
        """Other values of y."""
        self.value[:, 0] = y

    def add(self, p: Floats, spare: int) -> tuple[Floats, Floats, Floats]:
        """Phi' P Phi and Phi' P [y, age, effects] of every issue, with room for so many columns more; and the columns
        among themselves."""
        a = np.empty((self.issues, self.nodes, self.nodes))
        b = np.empty((self.issues, self.nodes, self.width + spare))
        cross = np.zeros((self.width, self.width))
        for first, last in self.cuts:
            part = slice(self.starts[first], self.starts[last])
            a[first:last], b[first:last] = self._bins(part, p[part], first, last - first, spare)
            columns = self.dense(part)
            cross += columns.T @ (columns * p[part, None])
        return a, b, cross

    def dense(self, which: slice | Ints) -> Floats:
        """All columns of some observations, written out."""
        place, value = self.place[which], self.value[which]
        line = np.arange(len(place))[:, None] * self.width
        full = np.bincount((line + place).ravel(), value.ravel(), len(place) * self.width)
        return full.reshape(len(place), self.width).astype(np.float64, copy=False)

    def _bins(self, part: slice, p: Floats, first: int, count: int, spare: int) -> tuple[Floats, Floats]:
        rows, size, width = self.rows, self.nodes, self.width + spare
        s = rows.share[part]
        base = (rows.issue[part] - first) * size + rows.node[part]
        square = base * size + rows.node[part]
        corners = np.stack([square, square + 1, square + size, square + size + 1])
        weights = np.stack([(1 - s) ** 2 * p, s * (1 - s) * p, s * (1 - s) * p, s * s * p])
        a = np.bincount(corners.ravel(), weights.ravel(), count * size * size)
        low = base[:, None] * width + self.place[part]
        loaded = self.value[part] * p[:, None]
        both = np.stack([loaded * (1 - s)[:, None], loaded * s[:, None]])
        b = np.bincount(np.stack([low, low + width]).ravel(), both.ravel(), count * size * width)
        shaped = a.reshape(count, size, size), b.reshape(count, size, width)
        return np.asarray(shaped[0], dtype=np.float64), np.asarray(shaped[1], dtype=np.float64)
