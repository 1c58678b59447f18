"""How a screen asks: for one line of text in the place of its status line, or for yes or no in it."""

from __future__ import annotations

from collections.abc import Callable

from watchlist.desk.errors import PLAIN
from watchlist.page.columns import wrap
from watchlist.screens.background.messages import Messages
from watchlist.screens.looks import Brush
from watchlist.screens.parts.prompt import Asked, Prompt
from watchlist.screens.parts.text_block import TextBlock


class Dialogue:
    """One thing is asked at a time. `done` follows an answer: the screen is drawn and has the focus again."""

    def __init__(self, status: TextBlock, brush: Brush, messages: Messages, done: Callable[[], None]) -> None:
        self._status, self._brush, self._messages, self._done = status, brush, messages, done
        self.prompt: Prompt | None = None
        self._question, self._then = "", _nothing

    @property
    def asks(self) -> bool:
        """A question waits for yes or no."""
        return bool(self._question)

    @property
    def can_ask(self) -> bool:
        """The screen is on top."""
        return self._status.is_attached and self._status.screen.is_current

    def ask(
        self,
        label: str,
        done: Callable[[str], None],
        *,
        value: str = "",
        live: Callable[[str], None] | None = None,
        left: Callable[[], None] | None = None,
        check: Callable[[str], object] | None = None,
    ) -> None:
        """Ask for one line."""
        if self.prompt is None:
            asked = Asked(label, done, value, live, left, check)
            self.prompt = Prompt(asked, self._brush, self._messages, self.end)
            self._status.display = False
            self._status.screen.mount(self.prompt, after=self._status)

    def end(self) -> None:
        """The prompt is answered or left."""
        if self.prompt is not None:
            self.prompt.remove()
            self.prompt = None
            self._status.styles.clear_rule("display")
            self._status.refresh(layout=True)
            self._done()

    def confirm(self, question: str, then: Callable[[], None]) -> None:
        """A question that undo cannot mend: y does it, every other key leaves it."""
        self._question, self._then = f"{question} y/n", then
        self.show()

    def show(self) -> None:
        """The question in as many lines as it needs: nobody says yes to half of one."""
        lines = wrap(self._question, max(self._status.app.size.width, 1))
        self._status.screen.set_class(True, "-said")
        self._status.styles.height = len(lines)
        self._status.show([[("ink!", line)] for line in lines])

    def answer(self, yes: bool) -> None:
        """A key was pressed."""
        then, self._question, self._then = self._then, "", _nothing
        self._status.styles.clear_rule("height")
        try:
            if yes:
                then()
            else:
                self._messages.say("Left as it was.")
        except PLAIN as error:
            self._messages.say(str(error))


def _nothing() -> None:
    """Nothing is asked."""
