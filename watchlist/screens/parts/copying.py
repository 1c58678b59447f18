"""What of a lot leaves the program: its line, its address, the questions to its seller."""

from __future__ import annotations

from collections.abc import Callable

from watchlist.desk.desk import Desk
from watchlist.desk.lists.ticket import facts
from watchlist.page.lot import plain_line
from watchlist.page.questions import letter
from watchlist.page.wording import count
from watchlist.screens.background.messages import Messages
from watchlist.screens.parts.dispatch import Doing
from watchlist.screens.terminal.outside import Outside
from watchlist.shelf.store.rows import LotRow


class Copying:
    """Copies what a lot has for others."""

    def __init__(
        self, lot: Callable[[], LotRow | None], outside: Outside, messages: Messages, desk: Callable[[], Desk]
    ) -> None:
        self._lot, self._outside, self._messages, self._desk = lot, outside, messages, desk

    def doing(self) -> Doing:
        """By the ids of the actions."""
        return {
            "address": self._open_address,
            "copy": self._copy_line,
            "copy-address": self._copy_address,
            "copy-questions": self._copy_questions,
        }

    def _open_address(self) -> None:
        row = self._lot()
        if row is not None:
            self._outside.open(row.lot.link)

    def _copy_line(self) -> None:
        row = self._lot()
        if row is None or row.judgement is None:
            self._messages.say("There is nothing to copy here.")
            return
        desk = self._desk()
        zone, today = desk.settings.home.time_zone, desk.local_today()
        self._outside.copy(plain_line(row.lot, row.judgement, desk.now, zone, today, raw=not row.reading.certified))

    def _copy_address(self) -> None:
        row = self._lot()
        if row is None or not row.lot.link:
            self._messages.say("This lot has no link.")
        else:
            self._outside.copy(row.lot.link)

    def _copy_questions(self) -> None:
        row = self._lot()
        asked = list(facts(self._desk(), row).questions) if row is not None else []
        if row is not None and asked:
            self._outside.copy(letter(row.lot, asked), f"Copied {count(len(asked), 'question')}")
        else:
            self._messages.say("Nothing is left to ask.")
