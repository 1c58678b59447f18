"""Certificate numbers met before: a feed that repeats one for ever does not make each lot slower than the last."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from tests.shelf import pieces
from watchlist.shelf.shelf import Shelf


def test_a_number_met_a_hundred_times_is_looked_at_twenty_times(tmp_path: Path) -> None:
    rows = [pieces.row(number) for number in range(100)]
    rows = [replace(row, reading=replace(row.reading, cert_number="77", service="QCG")) for row in rows]
    with Shelf.open(tmp_path / "shelf", write=True) as shelf:
        shelf.store.lots.save(rows)
        assert len(shelf.store.certificates.seen("77", "QCG")) == 20
