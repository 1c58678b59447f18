"""A text over a list: what a pane shows, in a window too narrow for it; what a try or an import said."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from watchlist.page.rows import head_line
from watchlist.screens.help import Text
from watchlist.screens.looks import Paint


class Detail(Text):
    """Lines made for the window's width."""

    ID = "detail"

    def __init__(self, title: str, lines: Callable[[int], Sequence[Paint]]) -> None:
        super().__init__()
        self._title, self._lines = title, lines

    def head(self) -> Paint:
        """What it is about."""
        return [("ink!", head_line([self._title, "esc goes back"], self.app.size.width))]

    def text(self, width: int) -> Sequence[Paint]:
        """The lines."""
        return self._lines(width)
