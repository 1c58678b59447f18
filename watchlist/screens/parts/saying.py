"""Writing what happened to a parcel or a piece: what speaks against it is asked first, and nothing is lost by a no."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import partial

from watchlist.core.decisions.review import State
from watchlist.desk.desk import Desk
from watchlist.desk.errors import TooMuch
from watchlist.desk.recording import Decided
from watchlist.screens.background.follow_ups import FollowUps
from watchlist.screens.background.messages import Messages
from watchlist.screens.background.writer import NO_LOTS, Writer
from watchlist.screens.parts.dialogue import Dialogue
from watchlist.screens.program import Program

Say = Callable[[Desk, bool], Decided]
"""Writes it on a desk, the second time even if it was asked twice."""


class Saying:
    """Asks for a sum or a word where one is needed, and writes."""

    def __init__(
        self,
        dialogue: Dialogue,
        writer: Writer,
        follow_ups: FollowUps,
        messages: Messages,
        happened: Callable[[], None],
    ) -> None:
        self._dialogue, self._writer, self._follow_ups = dialogue, writer, follow_ups
        self._messages, self._happened = messages, happened

    def ask(self, label: str, what: str, say: Callable[[str], Say], *, value: str = "", empty: bool = False) -> None:
        """Ask for one line, then write. `empty`: nothing at all may be typed."""

        def done(text: str) -> None:
            if text or empty:
                self.write(what, say(text))
            else:
                self._messages.say("Nothing typed, nothing written.")

        self._dialogue.ask(label, done, value=value)

    def write(self, what: str, say: Say, *, anyway: bool = False, lots: Mapping[str, State] = NO_LOTS) -> None:
        """Write it; what is asked twice is asked. `lots`: those that are shown in another state at once."""

        def done(decided: Decided) -> None:
            self._happened()
            warned = f"{'; '.join(decided.warnings)}. " if decided.warnings else ""
            self._messages.say_undoable(f"{warned}{decided.said}")
            self._follow_ups.bands(decided.due)

        def failed(error: Exception) -> None:
            why = str(error).partition(". Nothing was")[0]
            if isinstance(error, TooMuch) and self._dialogue.can_ask:
                self._dialogue.confirm(
                    f"{why}. Record it anyway?", lambda: self.write(what, say, anyway=True, lots=lots)
                )
            else:
                self._messages.say(f"{why}. Nothing was written.")

        self._writer.write(what, lambda desk: say(desk, anyway), done, failed, lots=lots)


def saying(program: Program, dialogue: Dialogue) -> Saying:
    """For a screen of the program."""
    happened = partial(program.changes.happened, all=True)
    return Saying(dialogue, program.writer, program.follow_ups, program.messages, happened)
