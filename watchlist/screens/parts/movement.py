"""Moving: through the list where a screen has one, else through its text; and through the pane beside a list."""

from __future__ import annotations

from watchlist.screens.parts.dispatch import Doing
from watchlist.screens.parts.listing import Listing
from watchlist.screens.parts.text_block import TextBlock

FAR = 10**6
"""More lines than any text has."""


class Movement:
    """One step, one page, to either end."""

    def __init__(self, listing: Listing | None, pane: TextBlock | None) -> None:
        self._listing, self._pane = listing, pane

    def doing(self) -> Doing:
        """By the ids of the actions."""
        return {
            "down": lambda: self._step(1),
            "up": lambda: self._step(-1),
            "page-down": lambda: self._page(1),
            "page-up": lambda: self._page(-1),
            "first": self._listing.first if self._listing else lambda: self._scroll(-FAR),
            "last": self._listing.last if self._listing else lambda: self._scroll(FAR),
            "part": self._next_part,
            "part-back": lambda: self._scroll_page(-1),
        }

    def _step(self, by: int) -> None:
        if self._listing:
            self._listing.step(by)
        else:
            self._scroll(by)

    def _page(self, way: int) -> None:
        if self._listing:
            self._listing.page(way)
        else:
            self._scroll_page(way)

    def _next_part(self) -> None:
        """The pane's next page, from the end its beginning again."""
        if not self._scroll_page(1):
            self._scroll(-FAR)

    def _scroll_page(self, way: int) -> bool:
        return self._scroll(way * max(self._pane.size.height - 1, 1)) if self._pane else False

    def _scroll(self, by: int) -> bool:
        return self._pane is not None and self._pane.display and self._pane.scroll_lines(by)
