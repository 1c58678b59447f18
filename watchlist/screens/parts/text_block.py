"""Lines of text, painted; longer than the window they scroll."""

from __future__ import annotations

from collections.abc import Sequence

from textual.geometry import Offset, Region
from textual.strip import Strip
from textual.widget import Widget

from watchlist.screens.looks import Brush, Paint


class TextBlock(Widget):
    """Painted lines. Drawn again only where they have changed."""

    DEFAULT_CSS = "TextBlock { width: 1fr; height: 1; }"

    def __init__(self, brush: Brush, *, id: str, edge: str = "", more: str = "") -> None:
        super().__init__(id=id)
        self.brush, self.edge, self.more = brush, edge, more
        self.lines: Sequence[Paint] = ()
        self.top = 0

    def show(self, lines: Sequence[Paint], *, from_top: bool = False) -> None:
        """Show these lines."""
        before, top = self.lines, self.top
        self.lines = lines
        self.top = 0 if from_top else min(self.top, self._last_top)
        if top != self.top:
            self.refresh()
            return
        for y in range(self.size.height):
            if list(self._seen(before, y)) != list(self._seen(lines, y)):
                self.refresh(Region(0, y, self.size.width, 1))

    def say(self, text: str, role: str = "ink") -> None:
        """Show one line of one role."""
        self.show([[(role, text)]])

    @property
    def _last_top(self) -> int:
        return max(len(self.lines) - max(self.size.height, 1), 0)

    def scroll_lines(self, by: int) -> bool:
        """Move the text; False when it stands at that end already."""
        top = max(min(self.top + by, self._last_top), 0)
        moved, self.top = top != self.top, top
        if moved:
            self.refresh()
        return moved

    def _seen(self, lines: Sequence[Paint], y: int) -> Paint:
        """What stands in a line of the window; the last one says that more follows, where more does."""
        at, height = self.top + y, self.size.height
        if self.more and 1 < height == y + 1 and at + 1 < len(lines):
            return [("quiet", f"  {self.more}")]
        return lines[at] if at < len(lines) else [("ink", "")]

    def render_line(self, y: int) -> Strip:
        """One line on the screen."""
        width = self.size.width
        paint = self._seen(self.lines, y)
        if self.edge:
            return self.brush.strip([("quiet", self.edge), *paint], width)
        return self.brush.strip(paint, width)

    def on_resize(self) -> None:
        """Do not stand behind the end."""
        self.top = min(self.top, self._last_top)
        self.refresh()

    def place_cursor(self) -> None:
        """The terminal's own cursor stands on the first letter."""
        if self.is_attached and self.screen.is_current:
            self.set_cursor(0)

    def set_cursor(self, y: int) -> None:
        """The terminal's own cursor on the first letter of a line in sight."""
        self.app.cursor_position = Offset(self.region.x, self.region.y + max(y, 0))
        self.refresh(Region(0, max(y, 0), 1, 1))  # the cursor is sent along with the next piece that is drawn
