"""A shelf in a temporary folder, and the screens on it."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from tests.screens import pieces
from watchlist.screens.app import Screens
from watchlist.screens.background.shelf_access import ShelfAccess

Open = Callable[..., Screens]


@pytest.fixture
def shelf(tmp_path: Path) -> Path:
    return pieces.shelf(tmp_path / "shelf")


@pytest.fixture
def open_on() -> Iterator[Open]:
    """The screens on a shelf; closed again at the end."""
    sessions: list[ShelfAccess] = []

    def make(path: Path, *, colour: bool = True) -> Screens:
        sessions.append(ShelfAccess(path, pieces.NOW))
        return Screens(sessions[-1], colour=colour)

    yield make
    for session in sessions:
        session.close()


@pytest.fixture
def app(shelf: Path, open_on: Open) -> Screens:
    return open_on(shelf)
