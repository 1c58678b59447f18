"""Rows packed as bytes come out as they went in."""

from __future__ import annotations

from unittest.mock import patch

import hypothesis.strategies as st
from hypothesis import given

from watchlist.core.clean import clean_lines
from watchlist.core.imports.record import Row
from watchlist.feeds import packed


def made(line: int, cells: list[str]) -> Row:
    return Row(line, dict(zip("abc", cells, strict=False)))


@given(st.lists(st.lists(st.text().map(clean_lines), min_size=1, max_size=3), max_size=10))
def test_every_row_comes_back(rows: list[list[str]]) -> None:
    """In bundles of three rows: on both sides of the end of one."""
    with patch.object(packed, "BUNDLE", 3):
        kept = packed.PackedRows(made)  # type: ignore[arg-type]
        for line, cells in enumerate(rows, 2):
            kept.add(line, cells)
        wanted = [made(line, cells) for line, cells in enumerate(rows, 2)]
        assert len(kept) == len(wanted)
        assert list(kept) == wanted
        assert [kept[at] for at in reversed(range(len(wanted)))] == wanted[::-1]
