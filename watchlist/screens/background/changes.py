"""What has changed on the shelf since a screen was loaded: by us, by another process, or because a minute passed."""

from __future__ import annotations

from collections.abc import Callable

from watchlist.screens.background.shelf_access import ShelfAccess


class Changes:
    """Counts the changes of the shelf; a screen that was loaded at another number is stale."""

    def __init__(self, access: ShelfAccess, show: Callable[[], None]) -> None:
        self._access, self._show = access, show
        self.number = 0
        self._seen = access.version()
        self._minute: int | None = None

    def happened(self, *, all: bool = False) -> None:
        """The shelf was written to: screens load anew when they are next seen, the one on top at once.

        `all` of it: what the desk made of the shelf is of no use any more."""
        if all:
            self._access.forget()
        self.shown_already()
        self._show()

    def shown_already(self) -> int:
        """The shelf was written to, and the screen that asks shows it; the number at which it stands now."""
        self.number += 1
        self._seen = self._access.version()
        return self.number

    def look(self) -> bool:
        """Look whether another process wrote, and show it; True when there was nothing but a minute that passed."""
        minute, before = int(self._access.now.timestamp() // 60), self._minute
        self._minute = minute
        if self._access.version() != self._seen:
            self.happened(all=True)
            return False
        return before is not None and before != minute
