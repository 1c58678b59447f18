"""A desk on a shelf in memory; a few milliseconds each."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.desk import pieces
from watchlist.desk.desk import Desk
from watchlist.shelf.shelf import Shelf


@pytest.fixture
def shelf(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Shelf]:
    """An empty shelf."""
    with pieces.open_shelf(tmp_path, monkeypatch) as opened:
        yield opened


@pytest.fixture
def desk(shelf: Shelf) -> Desk:
    """A desk on a shelf with two coins, a venue, a source and a want."""
    pieces.furnish(shelf)
    return Desk(shelf, pieces.NOW)
