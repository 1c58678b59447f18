"""Pictures of the real screens on the sample shelf: `python docs/pictures.py` writes docs/pictures/*.svg."""

from __future__ import annotations

import asyncio
import sys
import tempfile
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from watchlist.desk.sample import find_sample, lay_out, load
from watchlist.screens.app import Screens
from watchlist.screens.session import Session

FOLDER = Path(__file__).resolve().parent / "pictures"
SHOTS: tuple[tuple[str, tuple[int, int], tuple[str, ...]], ...] = (
    ("tray", (80, 24), ("j",)),
    ("ticket", (80, 36), ("j", "j", "enter")),
    ("wide", (160, 50), ("j", "j", "j", "j")),
    ("wants", (120, 30), ("2", "j")),
    ("bids", (120, 30), ("b", "j", "j", "b", "j", "j", "b", "3")),
    ("prices", (120, 40), ("4", "j", "j")),
    ("sources", (100, 24), ("5", "j", "j", "j", "j")),
    ("help", (80, 40), ("question_mark",)),
)
"""Name, window, keys pressed first."""


async def shoot(shelf: Path, folder: Path) -> None:
    """One picture after the other."""
    sample = load(find_sample())
    for name, size, keys in SHOTS:
        session = Session(shelf, sample.morning)
        app = Screens(session, colour=True)
        async with app.run_test(size=size) as pilot:
            await pilot.pause()
            await pilot.press(*keys)
            await app.workers.wait_for_complete()
            await pilot.pause(0.2)
            (folder / f"{name}.svg").write_text(app.export_screenshot(title=f"watchlist, {name}"), "utf-8")
        session.close()


def main() -> None:
    """Lay the sample out and draw it."""
    FOLDER.mkdir(exist_ok=True)
    with tempfile.TemporaryDirectory() as where:
        shelf = Path(where) / "shelf"
        lay_out(load(find_sample()), shelf)
        asyncio.run(shoot(shelf, FOLDER))


if __name__ == "__main__":
    main()
