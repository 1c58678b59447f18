"""Adding the observations up in parts."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from watchlist.market import summing
from watchlist.market.summing import Adder


def adder(sales: list[int]) -> Adder:
    """Issues with so many observations each, of two nodes and one column."""
    chance, count = np.random.default_rng(7), sum(sales)
    rows: Any = SimpleNamespace(
        issue=np.repeat(np.arange(len(sales)), sales), node=np.zeros(count, int), share=chance.random(count),
        age=chance.random(count),
    )  # fmt: skip
    columns: Any = SimpleNamespace(count=1, place=np.zeros((count, 1), int), value=chance.random((count, 1)))
    return Adder(rows, columns, chance.random(count), len(sales), 2)


def test_parts_change_nothing_in_what_is_added_up(monkeypatch: pytest.MonkeyPatch) -> None:
    sales = [3, 0, 4, 20, 1, 1, 1, 0]
    whole = adder(sales)
    monkeypatch.setattr(summing, "SALES", 7)
    monkeypatch.setattr(summing, "ISSUES", 3)
    parts = adder(sales)
    assert whole.cuts == [(0, 8)]
    assert parts.cuts == [(0, 3), (3, 4), (4, 7), (7, 8)], "an issue of many sales is a part of its own"
    p = np.random.default_rng(8).random(sum(sales))
    for one, other in zip(whole.add(p, 1), parts.add(p, 1), strict=True):
        assert np.allclose(one, other, rtol=1e-12)
