"""How the screens stand: sift, order, look; kept for the next run."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from watchlist.desk.screen_state import load, save


class View:
    """What was kept, by name. A shelf that cannot be written to is none the worse for it."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder
        self._values = load(folder)

    def get(self, name: str) -> Any:
        """What was kept under a name; None when nothing was. A person may have changed the file: believe nothing."""
        return self._values.get(name)

    def keep(self, **values: Any) -> None:
        """Keep these."""
        self._values |= values
        save(self._folder, self._values)
