"""Questions that were sent to a seller, and their answers, noted with their day."""

from __future__ import annotations

from collections.abc import Callable

from watchlist.desk.decisions import noting
from watchlist.desk.desk import Desk
from watchlist.desk.in_hand.asked import unanswered
from watchlist.desk.lists.ticket import facts
from watchlist.desk.recording import Decided
from watchlist.screens.background.changes import Changes
from watchlist.screens.background.messages import Messages
from watchlist.screens.background.writer import Writer
from watchlist.screens.parts.dialogue import Dialogue
from watchlist.screens.parts.dispatch import Doing
from watchlist.screens.sentences import named
from watchlist.shelf.store.rows import LotRow


class Asking:
    """Asks what was sent, or what came back."""

    def __init__(
        self,
        lot: Callable[[], LotRow | None],
        dialogue: Dialogue,
        writer: Writer,
        changes: Changes,
        messages: Messages,
        desk: Callable[[], Desk],
    ) -> None:
        self._lot, self._dialogue, self._writer = lot, dialogue, writer
        self._changes, self._messages, self._desk = changes, messages, desk

    def doing(self) -> Doing:
        """By the ids of the actions."""
        return {"asked": self._asked, "replied": self._replied}

    def _asked(self) -> None:
        """What was sent; the questions that the lot leaves open are there to be changed."""
        row = self._lot()
        if row is not None:
            open_ones = " ".join(facts(self._desk(), row).questions)
            self._dialogue.ask("Asked the seller:", lambda text: self._note(row, noting.ask, text), value=open_ones)

    def _replied(self) -> None:
        row = self._lot()
        waits = row is not None and any(each.lot == row.lot.key for each in unanswered(self._desk()))
        if row is None or not waits:
            self._messages.say("No question about this lot waits for an answer.")
        else:
            self._dialogue.ask("Answer:", lambda text: self._note(row, noting.answered, text))

    def _note(self, row: LotRow, note: Callable[[Desk, str, str], Decided], text: str) -> None:
        if not text:
            self._messages.say("No words, nothing written.")
            return
        said = f"{'Asked' if note is noting.ask else 'Answered'}: {named(row.lot.title)}"

        def written(_: Decided) -> None:
            self._changes.happened()
            self._messages.say_undoable(said)

        self._writer.write(said, lambda desk: note(desk, row.lot.key, text), written)
