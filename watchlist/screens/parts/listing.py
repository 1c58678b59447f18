"""A list drawn line by line: only the lines in sight are asked for, however many there are."""

from __future__ import annotations

from collections.abc import Callable
from typing import Protocol

from textual import events
from textual.geometry import Offset, Region
from textual.message import Message
from textual.strip import Strip
from textual.timer import Timer
from textual.widget import Widget

from watchlist.page.columns import wrap
from watchlist.screens.looks import Brush, Paint


class Rows(Protocol):
    """What a list shows. Positions run from `low` to `high`; more may lie beyond until `at_first` and `at_last`."""

    low: int
    high: int
    at_first: bool
    at_last: bool

    def reach(self, at: int) -> bool:
        """Hold this position if it exists. False: ask again, the search is long."""

    def to_last(self) -> None:
        """Hold the end."""


class Content(Protocol):
    """What a list is about."""

    def head(self, width: int) -> str:
        """The line over the list; empty for none."""

    def row(self, at: int, width: int) -> Paint:
        """One row."""

    def empty(self) -> str:
        """What to press when there is no row."""


class Held:
    """Rows that are all in memory: `Rows` over a number of them."""

    def __init__(self, count: int) -> None:
        self.low, self.high = 0, count
        self.at_first = self.at_last = True

    def reach(self, at: int) -> bool:
        """All are there."""
        return True

    def to_last(self) -> None:
        """All are there."""


class Listing(Widget, can_focus=True):
    """The rows in sight, one of them highlighted."""

    DEFAULT_CSS = "Listing { width: 1fr; height: 1fr; }"

    class Chosen(Message):
        """A row was clicked a second time."""

    def __init__(
        self,
        content: Content,
        brush: Brush,
        moved: Callable[[], None] = lambda: None,
        from_first: Callable[[], None] = lambda: None,
    ) -> None:
        super().__init__(id="lots")
        self.content, self.brush = content, brush
        self._moved, self._from_first = moved, from_first
        """Called when another row is highlighted, and when a list whose first row is not held starts again."""
        self.rows: Rows = Held(0)
        self.at = 0
        self.top = 0
        self.searching = False
        self._search: Timer | None = None
        self._drawing = True
        self._sent: dict[int, tuple[Paint, bool]] = {}

    # --- what is shown ---

    @property
    def has_row(self) -> bool:
        """There is a highlighted row."""
        return self.rows.low <= self.at < self.rows.high

    @property
    def head_lines(self) -> int:
        """Lines over the first row."""
        return 1 if self.size.height > 3 and self.content.head(self.size.width) else 0

    @property
    def room(self) -> int:
        """Rows in sight."""
        return max(self.size.height - self.head_lines, 1)

    def show_rows(self, rows: Rows, at: int = 0, offset: int = 0) -> None:
        """Show other rows, with this one highlighted, `offset` rows below the top. Only lines that differ are drawn."""
        self.rows = rows
        self.stand(at, at - offset)

    def stand(self, at: int, top: int) -> None:
        """Highlight a row with this one at the top, after rows have changed. Only lines that differ are drawn."""
        self.at, self.top = at, top
        self._drawing = False
        self.go(at, shift=False)
        self._drawing = True
        self.refresh_changed()

    def refresh_changed(self) -> None:
        """Draw the lines again that differ from what is in sight."""
        for y in range(self.size.height):
            if self._line(y) != self._sent.get(y):
                self.refresh(Region(0, y, self.size.width, 1))

    def place(self, y: int) -> tuple[int, int]:
        """The row that stands in a line, and which of its lines that is."""
        return self.top + y - self.head_lines, 0

    def line_of(self, at: int) -> int:
        """The line in which a row begins."""
        return at - self.top + self.head_lines

    def _text(self, at: int, line: int, width: int) -> Paint:
        return self.content.row(at, width)

    def _line(self, y: int) -> tuple[Paint, bool]:
        """What stands in a line, and whether it is highlighted."""
        width = self.size.width
        if y < self.head_lines:
            return [("head", self.content.head(width))], False
        at, line = self.place(y)
        if self.rows.low <= at < self.rows.high:
            return self._text(at, line, width), at == self.at
        if self.rows.low >= self.rows.high:
            said = wrap("Searching.." if self.searching else self.content.empty(), max(width, 1))
            line = y - self.head_lines
            return [("quiet", said[line] if line < len(said) else "")], False
        return [("ink", "")], False

    def render_line(self, y: int) -> Strip:
        """One line on the screen."""
        line = self._sent[y] = self._line(y)
        return self.brush.strip(line[0], self.size.width, reverse=line[1])

    # --- moving ---

    def go(self, at: int, *, shift: bool = True) -> None:
        """Highlight the row at a position, or the nearest there is."""
        self.searching = not self.rows.reach(at)
        if self._search is not None:
            self._search.stop()  # one search at a time, and only for what is wanted now
        self._search = self.set_timer(0.005, lambda: self._search_on(at)) if self.searching else None
        before, top = self.at, self.top
        self.at = max(min(at, self.rows.high - 1), self.rows.low)
        if not self.searching:  # a search has had its turn
            self.rows.reach(self.top + self.room - 1 if self.top + self.room > self.at else self.at + self.room)
        self._follow()
        if not self._drawing:
            pass
        elif top != self.top:
            self.refresh()
        else:
            self.refresh_row(before)
            self.refresh_row(self.at)
        self.place_cursor()
        if shift:
            self._moved()

    def _search_on(self, at: int) -> None:
        if self.is_attached and self.searching:
            self.refresh()
            self.go(at)

    def _follow(self) -> None:
        """Keep the highlighted row in sight; a list that has to move moves by half, so that few keys redraw it."""
        room = self.room
        if self.at < self.top:
            self.top = self.at - room // 2 if self.at < self.top - 1 or room > 4 else self.at
        elif self.at >= self.top + room:
            self.top = self.at - room // 2 if room > 4 else self.at - room + 1
        if not self.searching:
            self.rows.reach(self.top + room - 1)
            self.rows.reach(self.top)
        if self.rows.at_last:
            self.top = min(self.top, self.rows.high - room)
        self.top = max(self.top, self.rows.low)

    def step(self, by: int) -> None:
        """So many rows on or back."""
        self.go(self.at + by)

    def page(self, way: int) -> None:
        """One page on (1) or back (-1)."""
        self.go(self.at + way * max(self.room - 1, 1))

    def first(self) -> None:
        """The first row."""
        if not self.rows.at_first:
            self._from_first()
        else:
            self.go(self.rows.low)

    def last(self) -> None:
        """The last row."""
        if not self.rows.at_last:
            self.rows.to_last()
            self.top = self.rows.high - self.room
            self.refresh()
        self.go(self.rows.high - 1)

    def refresh_row(self, at: int) -> None:
        """Draw one row again."""
        y = self.line_of(at)
        if self.head_lines <= y < self.size.height:
            self.refresh(Region(0, y, self.size.width, 1))

    def place_cursor(self) -> None:
        """The terminal's own cursor stands on the row, for braille displays and magnifiers."""
        if self.is_attached and self.screen.is_current and self.display and self.has_focus:
            y = self.line_of(self.at)
            self.app.cursor_position = Offset(self.region.x, self.region.y + max(min(y, self.size.height - 1), 0))
            self.refresh(Region(0, y, 1, 1))  # the cursor is sent along with the next piece that is drawn

    def on_focus(self) -> None:
        """The cursor comes along."""
        self.call_after_refresh(self.place_cursor)

    def on_resize(self) -> None:
        """Keep the highlighted row in sight."""
        self._follow()
        self.refresh()
        self.call_after_refresh(self.place_cursor)

    def on_click(self, event: events.Click) -> None:
        """A click highlights; a second one opens."""
        at, _ = self.place(event.y)
        if event.y < self.head_lines or not self.rows.low <= at < self.rows.high:
            return
        if at == self.at:
            self.post_message(self.Chosen())
        else:
            self.go(at)

    def on_mouse_scroll_down(self) -> None:
        """Three rows on."""
        self.step(3)

    def on_mouse_scroll_up(self) -> None:
        """Three rows back."""
        self.step(-3)
