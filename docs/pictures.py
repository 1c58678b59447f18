"""Pictures of the real screens on the sample shelf: `python docs/pictures.py` writes docs/pictures/*.svg."""

from __future__ import annotations

import asyncio
import re
import shutil
import sys
import tempfile
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from watchlist.desk.sample import find_sample, lay_out, load
from watchlist.screens.app import Screens
from watchlist.screens.background.shelf_access import ShelfAccess
from watchlist.screens.background.view import View

FOLDER = Path(__file__).resolve().parent / "pictures"
SMALL, LARGE = (80, 24), (160, 50)


@dataclass(frozen=True, slots=True)
class Shot:
    """One picture: its name, its window, the keys pressed first, its look."""

    name: str
    size: tuple[int, int]
    keys: tuple[str, ...]
    look: str = "dark"
    colour: bool = True


BIDS = ("b", "j", "j", "b", "j", "j", "b", "3")
SHOTS = (
    Shot("tray", SMALL, ("j",)),
    Shot("tray-light", SMALL, ("j",), look="light"),
    Shot("tray-plain", SMALL, ("j",), colour=False),
    Shot("ticket", SMALL, ("j", "j", "enter")),
    Shot("wants", SMALL, ("2", "j")),
    Shot("bids", SMALL, BIDS),
    Shot("prices", SMALL, ("4", "j", "j")),
    Shot("guide", SMALL, ("0", "n", "n", "s", "j")),
    Shot("sources", SMALL, ("5", "j", "j", "j", "j")),
    Shot("form", SMALL, ("5", "v")),
    Shot("help", SMALL, ("question_mark",)),
    Shot("wide", LARGE, ("j", "j", "j", "j")),
    Shot("wide-prices", LARGE, ("4", "j", "j")),
    Shot("wide-bids", LARGE, BIDS),
)
AWAY = re.compile(r",?\s*url\(\"https?://[^)]*\) format\(\"\w+\"\)|<!--.*?-->\s*")
"""Fonts from afar: a picture that is looked at calls no address."""


class Still(ShelfAccess):
    """A shelf whose clock stands."""

    @property
    def now(self) -> datetime:
        """The moment at which it was set."""
        return self._start


async def shoot(shelf: Path, shot: Shot) -> str:
    """One picture, on a shelf of its own."""
    View(shelf).keep(look=shot.look)
    access = Still(shelf, load(find_sample()).morning, encoding="utf-8")
    app = Screens(access, colour=shot.colour)
    async with app.run_test(size=shot.size) as pilot:
        await pilot.pause()
        for key in shot.keys:
            await pilot.press(key)
            await app.workers.wait_for_complete()
        await pilot.pause(0.2)
        picture = AWAY.sub("", app.export_screenshot(title=f"watchlist, {shot.name}"))
    access.close()
    return picture


def main() -> None:
    """Lay the sample out and draw it."""
    FOLDER.mkdir(exist_ok=True)
    with tempfile.TemporaryDirectory() as where:
        shelf = Path(where) / "shelf"
        lay_out(load(find_sample()), shelf)
        for shot in SHOTS:
            copy = Path(shutil.copytree(shelf, Path(where) / shot.name))
            picture = asyncio.run(shoot(copy, shot))
            (FOLDER / f"{shot.name}.svg").write_text(picture, "utf-8")


if __name__ == "__main__":
    main()
