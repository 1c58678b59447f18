"""A shelf in a temporary folder, and the screens on it."""

from __future__ import annotations

import asyncio
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from textual.pilot import Pilot

from tests.screens import pieces
from watchlist.screens import app as app_module
from watchlist.screens import tray_counts
from watchlist.screens.app import Screens
from watchlist.screens.background.shelf_access import ShelfAccess

Open = Callable[..., Screens]


@pytest.fixture(autouse=True)
def _without_waiting(monkeypatch: pytest.MonkeyPatch) -> None:
    """A pilot goes on when all is done, in place of when nothing seems to be done; the head is counted at once.

    Whether another process wrote is looked for when a test says so, not when it has taken two seconds."""

    async def at_once(*_: float) -> None:
        await asyncio.sleep(0)

    async def pause(pilot: Any, delay: float | None = None) -> None:
        await asyncio.sleep(delay or 0)
        await pieces.drained(pilot)

    monkeypatch.setattr("textual.app.wait_for_idle", at_once)
    monkeypatch.setattr("textual.pilot.wait_for_idle", at_once)
    monkeypatch.setattr(Pilot, "press", pieces.press)
    monkeypatch.setattr(Pilot, "pause", pause)
    monkeypatch.setattr(tray_counts, "COUNT_DELAY", 0.001)
    monkeypatch.setattr(app_module, "LOOK_AGAIN", 3600.0)


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
