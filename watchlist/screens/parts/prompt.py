"""One line to type in, under the list: sift, price, note."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical
from textual.content import Content
from textual.widgets import Input, Static

from watchlist.core.clean import clean
from watchlist.desk.errors import PLAIN
from watchlist.page.columns import cells, wrap
from watchlist.screens.background.messages import Messages
from watchlist.screens.looks import Brush, ink
from watchlist.screens.parts.text_block import TextBlock

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


@dataclass(frozen=True, slots=True)
class Asked:
    """What is asked for, and what follows."""

    label: str
    done: Callable[[str], None]
    value: str = ""
    """What stands in the line at first."""
    live: Callable[[str], None] | None = None
    """Follows the typing."""
    left: Callable[[], None] | None = None
    """Esc."""
    check: Callable[[str], object] | None = None
    """An answer for which it raises one of the plain errors is not taken: the line stays, to be mended."""


class Prompt(Vertical):
    """A label and a line to type in; over them what was wrong with the last answer."""

    DEFAULT_CSS = (
        """
    Prompt { height: auto; }
    Prompt > TextBlock { display: none; }
    Prompt.-wrong > TextBlock { display: block; }
    Prompt > Horizontal { height: 1; }
    Prompt.-tall > Horizontal { layout: vertical; height: auto; }
    Prompt.-tall Static { height: auto; }
    """
        + INPUT_CSS
    )

    def __init__(self, asked: Asked, brush: Brush, messages: Messages, close: Callable[[], None]) -> None:
        super().__init__()
        self._asked, self._messages, self._close = asked, messages, close
        self._error = ""
        self._wrong = TextBlock(brush, id="wrong")
        self._label = Static(Content(f"{asked.label} "), markup=False)
        self._line = line_input(asked.value)

    def compose(self) -> ComposeResult:
        """Label and line."""
        yield self._wrong
        with Horizontal():
            yield self._label
            yield self._line

    def on_mount(self) -> None:
        """Type at once."""
        self._fit()
        self.type_on()

    def type_on(self) -> None:
        """Back to the line."""
        if self._line.is_attached:
            self._line.focus()

    def on_resize(self) -> None:
        """Another window."""
        self._fit()

    def _fit(self) -> None:
        """A label that leaves no room to type in stands above the line."""
        wide, room = cells(self._asked.label) + 1, self.app.size.width
        tall = wide > room // 2
        self.set_class(tall, "-tall")
        self._label.styles.width = room if tall else wide
        self._show_error()

    def _show_error(self) -> None:
        """In as many lines as it needs."""
        lines = wrap(self._error, max(self.app.size.width, 1))
        self.set_class(bool(self._error), "-wrong")
        self._wrong.styles.height = len(lines)
        self._wrong.show(ink(lines))

    def on_input_changed(self, event: Input.Changed) -> None:
        """Live answers."""
        event.stop()
        if self._asked.live:
            self._asked.live(event.value)

    def on_input_submitted(self, event: Input.Submitted) -> None:
        """Done."""
        event.stop()
        text = clean(event.value, 2000)
        if not self._passes(text):
            return
        self._close()
        try:
            self._asked.done(text)
        except PLAIN as error:
            self._messages.say(str(error))

    def _passes(self, text: str) -> bool:
        """The answer is one; else it is said why not, and the line stays with what was typed."""
        self._messages.hush()
        self._error = ""
        try:
            if self._asked.check:
                self._asked.check(text)
        except PLAIN as error:
            self._error = str(error)
            self._messages.say(self._error)
        self._show_error()
        return not self._error

    def leave(self) -> None:
        """Esc."""
        if self._error:
            self._messages.hush()
        self._close()
        if self._asked.left:
            self._asked.left()
