"""One line to type in, under the list: sift, price, note."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, cast

from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical
from textual.content import Content
from textual.widgets import Input, Static

from watchlist.core.clean import clean
from watchlist.desk.errors import PLAIN
from watchlist.page.columns import cells, wrap
from watchlist.screens.paper import Paper

if TYPE_CHECKING:
    from watchlist.screens.frame import Frame

INPUT_CSS = """
Input.-line { border: none; height: 1; padding: 0; width: 1fr; background: $background; color: $foreground; }
Input.-line:focus { border: none; background-tint: 0%; }
Input.-line:nocolor > .input--cursor { text-style: reverse; }
"""


class Line(Input):
    """An Input of one line; the terminal's own cursor stands in it from the first moment on."""

    def on_focus(self) -> None:
        """Where it stands is known once it is laid out."""
        self.call_after_refresh(self._place_cursor)

    def on_resize(self) -> None:
        """It was laid out anew."""
        self.call_after_refresh(self._place_cursor)

    def _place_cursor(self) -> None:
        if self.is_attached and self.has_focus:
            self.app.cursor_position = self.cursor_screen_offset
            self.refresh()  # the cursor is sent along with the next piece that is drawn


def line_input(value: str, *, id: str | None = None) -> Line:
    """A line to type in, without a frame and without a blinking cursor."""
    made = Line(value, id=id, classes="-line", compact=True, select_on_focus=False)
    made.cursor_blink = False
    return made


class Prompt(Vertical):
    """A label and a line to type in; over them what was wrong with the last answer."""

    DEFAULT_CSS = (
        """
    Prompt { height: auto; }
    Prompt > Paper { display: none; }
    Prompt.-wrong > Paper { display: block; }
    Prompt > Horizontal { height: 1; }
    Prompt.-tall > Horizontal { layout: vertical; height: auto; }
    Prompt.-tall Static { height: auto; }
    """
        + INPUT_CSS
    )

    def __init__(
        self,
        label: str,
        value: str,
        done: Callable[[str], None],
        live: Callable[[str], None] | None,
        left: Callable[[], None] | None,
        check: Callable[[str], object] | None = None,
    ) -> None:
        super().__init__()
        self._label, self._value = label, value
        self._done, self._live, self._left, self._check = done, live, left, check
        self._wrong = ""

    def compose(self) -> ComposeResult:
        """Label and line."""
        yield Paper(self.frame.app.brush, id="wrong")
        with Horizontal():
            yield Static(Content(f"{self._label} "), markup=False)
            yield line_input(self._value)

    def on_mount(self) -> None:
        """Type at once."""
        self._fit()
        self.type_on()

    def type_on(self) -> None:
        """Back to the line."""
        for line in self.query(Input):
            line.focus()

    def on_resize(self) -> None:
        """Another window."""
        self._fit()

    def _fit(self) -> None:
        """A label that leaves no room to type in stands above the line."""
        wide, room = cells(self._label) + 1, self.app.size.width
        tall = wide > room // 2
        self.set_class(tall, "-tall")
        for label in self.query(Static):
            label.styles.width = room if tall else wide
        self._show_wrong()

    def _show_wrong(self) -> None:
        """In as many lines as it needs."""
        lines = wrap(self._wrong, max(self.app.size.width, 1))
        self.set_class(bool(self._wrong), "-wrong")
        for paper in self.query(Paper):
            paper.styles.height = len(lines)
            paper.show([[("ink", line)] for line in lines])

    @property
    def frame(self) -> Frame:
        """The screen it stands on."""
        return cast("Frame", self.screen)

    def on_input_changed(self, event: Input.Changed) -> None:
        """Live answers."""
        event.stop()
        if self._live:
            self._live(event.value)

    def on_input_submitted(self, event: Input.Submitted) -> None:
        """Done."""
        event.stop()
        frame, text = self.frame, clean(event.value, 2000)
        if not self._passes(text):
            return
        frame.end_prompt()
        try:
            self._done(text)
        except PLAIN as error:
            frame.app.say(str(error), trouble=True)
        frame.redraw_status()

    def _passes(self, text: str) -> bool:
        """The answer is one; else it is said why not, and the line stays with what was typed."""
        self.frame.app.hush()
        self._wrong = ""
        try:
            if self._check:
                self._check(text)
        except PLAIN as error:
            self._wrong = str(error)
            self.frame.app.say(self._wrong, trouble=True)
        self._show_wrong()
        return not self._wrong

    def leave(self) -> None:
        """Esc."""
        if self._wrong:
            self.frame.app.hush()
        self.frame.end_prompt()
        if self._left:
            self._left()
