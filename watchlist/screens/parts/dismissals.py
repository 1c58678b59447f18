"""Signs of doubt that the person has looked into: dismissed with a note, or restored."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

from watchlist.core.marks.record import Sign
from watchlist.core.marks.signnames import names_of, signs_of
from watchlist.desk.decisions import dismissing
from watchlist.desk.decisions.dismissing import Dismissal
from watchlist.desk.errors import DeskError
from watchlist.page.wording import mark_words
from watchlist.screens.background.changes import Changes
from watchlist.screens.background.messages import Messages
from watchlist.screens.background.writer import Writer
from watchlist.screens.parts.dialogue import Dialogue
from watchlist.shelf.store.rows import LotRow


class Dismissals:
    """Asks which sign, and why."""

    def __init__(
        self,
        lot: Callable[[], LotRow | None],
        dialogue: Dialogue,
        writer: Writer,
        changes: Changes,
        messages: Messages,
    ) -> None:
        self._lot, self._dialogue, self._writer = lot, dialogue, writer
        self._changes, self._messages = changes, messages

    def dismiss(self) -> None:
        """Dismiss a sign of the lot, or restore it."""
        row = self._lot()
        signs = signs_of(row.judgement) if row else ()
        if row is None or not signs:
            self._messages.say("This lot has no sign of doubt.")
        elif len(signs) == 1:
            self._turn(row.lot.key, signs[0])
        else:
            self._messages.say(f"Which sign: {'; '.join(f'{n} {sign.text}' for n, sign in enumerate(signs, 1))}")
            meant = {str(number): sign for number, sign in enumerate(signs, 1)} | names_of(row.judgement)

            def check(word: str) -> None:
                if word not in meant:
                    names = ", ".join(names_of(row.judgement))
                    raise DeskError(f"There are signs 1 to {len(signs)} ({names}), not `{word}`; nothing was changed.")

            turn = partial(self._turn, row.lot.key)
            asked = f"Which sign, 1 to {len(signs)} or its name?"
            self._dialogue.ask(asked, lambda word: turn(meant[word]), check=check)

    def _turn(self, key: str, sign: Sign) -> None:
        def noted(note: str) -> None:
            words = f"{'Dismiss' if sign.dismissed is None else 'Restore'}: {sign.text}"
            self._writer.write(words, lambda desk: dismissing.dismiss(desk, key, sign.text, note), written, long=True)

        def written(found: Dismissal) -> None:
            self._changes.happened()
            said = f"{'Dismissed' if found.dismissed else 'Restored'}: {found.sign}. Now {mark_words(found.judgement)}"
            self._messages.say_undoable(said)

        if sign.dismissed is None:
            self._dialogue.ask(f"Note, why `{sign.text[:40]}` is dismissed:", noted)
        else:
            noted("")
