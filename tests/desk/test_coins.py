"""The coins of the Prices screen: which of them somebody wants."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

import pytest

from watchlist.core.coins.issue import Issue
from watchlist.core.marks.record import Want
from watchlist.desk.desk import Desk
from watchlist.desk.prices.coins import priced
from watchlist.shelf.shelf import Shelf

ISSUES = (
    Issue("a", "Orvany", "5 tor", 1893),
    Issue("b", "Orvany", "5 tor", 1893, "V"),
    Issue("c", "Orvany", "5 tor", 1893, "V", "wide date"),
    Issue("d", "Orvany", "5 tor", 1894, "V"),
    Issue("e", "Sundland", "5 tor", 1893, "V"),
)
V = Want("w1", "Orvany", "5 tor", 1893, "V", "")


@pytest.mark.parametrize(
    ("want", "wanted"),
    [
        (V, "b"),
        (replace(V, mint=""), "a"),
        (replace(V, mint=None), "ab"),
        (replace(V, variety=None), "bc"),
        (replace(V, mint=None, variety=None), "abc"),
        (replace(V, variety="wide date"), "c"),
        (replace(V, filled=1), ""),
        (replace(V, filled=1, upgrade=True), "b"),
        (replace(V, country=""), "be"),
    ],
)
def test_only_what_a_want_means_is_wanted(tmp_path: Path, want: Want, wanted: str) -> None:
    with Shelf.open(tmp_path / "shelf", write=True) as opened:
        opened.store.catalogue.merge(ISSUES)
        opened.notebook.wants.put(want)
        found = priced(Desk(opened, datetime(2026, 3, 1, tzinfo=UTC)))
        assert "".join(sorted(each.issue.key for each in found if each.wanted)) == wanted
