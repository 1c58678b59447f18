"""What a person decides, written in order: at once where the pen is free, else as soon as its holder gives way."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from types import MappingProxyType
from typing import TYPE_CHECKING, Any

from watchlist.desk.errors import DeskError
from watchlist.screens.background.messages import Messages
from watchlist.screens.background.pen import Errand, Pen
from watchlist.screens.sentences import refusal

if TYPE_CHECKING:
    from watchlist.core.decisions.review import State
    from watchlist.desk.desk import Desk

Job = Callable[["Desk"], Any]
NO_LOTS: Mapping[str, State] = MappingProxyType({})


class Writer:
    """What waits to be written, and the states that lots will have once it is."""

    def __init__(self, pen: Pen, messages: Messages, show: Callable[[], None]) -> None:
        self._pen, self._messages, self._show = pen, messages, show
        self._pending: dict[str, tuple[Errand, State]] = {}

    @property
    def waiting(self) -> int:
        """How much waits."""
        return self._pen.waiting

    def pending(self, key: str) -> State | None:
        """The state that a decision gives this lot once it is written; None when none waits."""
        found = self._pending.get(key)
        return found[1] if found else None

    def write(
        self,
        words: str,
        job: Job,
        done: Callable[[Any], None],
        failed: Callable[[Exception], None] | None = None,
        *,
        lots: Mapping[str, State] = NO_LOTS,
        long: bool = False,
    ) -> bool:
        """Write something that a person decided; `done` follows when it is on the disk, `failed` when it was refused.

        False: it waits until the gather or another writer gives way, and `lots` show the states they will have.
        What is `long` is always written beside the screens."""

        def over(follow: Callable[[], None]) -> None:
            self._pending = {key: waits for key, waits in self._pending.items() if waits[0] is not errand}
            follow()
            self._show()

        def refused(error: Exception) -> None:
            if failed is not None and isinstance(error, DeskError):
                failed(error)
            else:
                self._messages.say(refusal(words, error))

        errand = Errand(
            words, job, lambda found: over(lambda: done(found)), lambda error: over(lambda: refused(error)), long
        )
        if self._pen.write(errand):
            return True
        self._pending |= {key: (errand, state) for key, state in lots.items()}
        self._show()
        return False
