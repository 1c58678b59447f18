"""Undo and redo: the last entry of the list of decisions, a form or an import too, also one of another day."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

from watchlist.screens.background.follow_ups import FollowUps
from watchlist.screens.background.messages import Messages
from watchlist.screens.background.writer import Writer
from watchlist.screens.keys import Keys

if TYPE_CHECKING:
    from watchlist.desk.desk import Desk
    from watchlist.desk.recording import Decided


class Undo:
    """Turns back what was written. `shown` draws the lots of these keys anew, or everything where none are named."""

    def __init__(
        self,
        writer: Writer,
        follow_ups: FollowUps,
        messages: Messages,
        keys: Keys,
        desk: Callable[[], Desk],
        shown: Callable[[Sequence[str]], None],
    ) -> None:
        self._writer, self._follow_ups, self._messages, self._keys = writer, follow_ups, messages, keys
        self._desk, self._shown = desk, shown

    def turn(self, *, back: bool) -> None:
        """Undo or redo."""
        from watchlist.desk import undoing  # it judges: the first text does without
        from watchlist.desk.settling import settle

        def job(desk: Desk) -> Decided:
            decided = (undoing.undo if back else undoing.redo)(desk)
            if long:
                settle(desk, decided.due)
            return decided

        def done(decided: Decided) -> None:
            self._turned(decided, back=back)

        long = undoing.judges_anew(self._desk(), back=back)
        self._writer.write("Undo" if back else "Redo", job, done, long=long)

    def _turned(self, decided: Decided, *, back: bool) -> None:
        self._shown(decided.keys)
        other = self._keys.first("redo" if back else "undo")
        self._messages.say(f"{decided.said}. {other} reverses that.")
        self._follow_ups.bands(decided.due)
