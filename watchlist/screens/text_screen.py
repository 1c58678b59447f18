"""Screens of text: what a pane shows, in a window too narrow for it; what a try or an import said; the messages."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from watchlist.desk.morning import morning_text
from watchlist.page.columns import wrap
from watchlist.page.rows import head_line
from watchlist.screens.frame import Frame
from watchlist.screens.looks import Paint, ink
from watchlist.screens.parts.dispatch import Doing
from watchlist.screens.program import Program

Lines = Callable[[int], Sequence[Paint]]
"""Lines made for the window's width."""


class TextScreen(Frame):
    """A text over a screen."""

    AUTO_FOCUS = ""
    WHY = 0

    def __init__(self, program: Program, id: str, heads: Sequence[str], lines: Lines) -> None:
        self.ID = id
        super().__init__(program)
        self._heads, self.lines = heads, lines

    def doing(self) -> Doing:
        """The key that opened it closes it again."""
        close = self.program.windows.close
        return {"help": close} | ({"messages": close} if self.ID == "messages" else {})

    def head(self) -> Paint:
        """What it is about."""
        return [("ink!", head_line(self._heads, self.app.size.width))]

    def pane(self, width: int, height: int) -> Sequence[Paint]:
        """The lines."""
        return self.lines(width)


def detail(program: Program, title: str, lines: Lines) -> TextScreen:
    """What a pane shows, and the like."""
    return TextScreen(program, "detail", (title, "esc goes back"), lines)


def messages(program: Program) -> TextScreen:
    """The last messages, newest first."""

    def lines(width: int) -> Sequence[Paint]:
        kept = reversed(program.messages.kept)
        found: list[Paint] = ink(part for each in kept for part in wrap(each, width, indent=" " * 7))
        return found or [[("quiet", "No messages yet.")]]

    return TextScreen(program, "messages", ("Messages",), lines)


def morning(program: Program) -> TextScreen:
    """The morning in print, as it is when it is opened."""
    made: dict[int, Sequence[Paint]] = {}

    def lines(width: int) -> Sequence[Paint]:
        if width not in made:
            made[width] = ink(morning_text.lines(program.access.desk, width))
        return made[width]

    return TextScreen(program, "detail", ("Morning", "esc goes back"), lines)
