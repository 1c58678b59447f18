"""What the program says to the person, and the status line that shows it."""

from __future__ import annotations

from collections import deque
from collections.abc import Callable
from datetime import datetime

from watchlist.core.lots.address import without_secrets
from watchlist.page.columns import cells, shortened

KEPT = 200
LEAST_MESSAGE = 20
"""Cells that a message keeps beside the line of work going on; in less room it stands alone."""


class Messages:
    """The last messages. The newest stands in the status line until a key is pressed: then it was read."""

    def __init__(self, clock: Callable[[], datetime], undo_key: str, show: Callable[[], None]) -> None:
        self._clock, self._undo_key, self._show = clock, undo_key, show
        self.kept: deque[str] = deque(maxlen=KEPT)
        self.newest = ""

    def say(self, text: str) -> None:
        """A message: in the status line, and kept in the list of messages."""
        text = without_secrets(" ".join(text.split()))
        self.kept.append(f"{self._clock():%H:%M}  {text}")
        self.newest = text
        self._show()

    def say_undoable(self, text: str) -> None:
        """Something was written, and may be undone."""
        self.say(f"{text}. {self._undo_key} undoes it.")

    def hush(self) -> None:
        """A key was pressed."""
        self.newest = ""


def status_line(said: str, waits: str, work: str, width: int) -> str:
    """What waits to be written, the last message, the work going on: as much as there is room for."""
    if waits or not (said and work):
        return " ".join(filter(None, (waits, work))) or said
    room = width - cells(work) - 1
    return f"{shortened(said, room)} {work}" if room >= LEAST_MESSAGE else said
