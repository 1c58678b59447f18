"""Keys typed ahead of the screen: over a slow line several come at once, and each must meet the screen that the one
before it has opened. `/` and a word typed in one go land in the sift."""

from __future__ import annotations

from collections import deque
from collections.abc import Awaitable, Callable, Sequence

from textual import events
from textual.dom import DOMNode
from textual.widget import Widget

LONGEST = 0.1
"""Seconds after which the next key goes on, should the widget that had the last one be gone."""
PATIENCE = 10
"""Times that long a key waits for what is being opened to be ready."""
Step = Callable[[], Awaitable[None]]


class KeyQueue:
    """One key after the other."""

    def __init__(
        self, take: Callable[[events.Key], Awaitable[None]], ready: Callable[[], bool], drawn: Callable[[Step], None]
    ) -> None:
        self._take_key, self._ready, self._drawn = take, ready, drawn
        self._waiting: deque[events.Key] = deque()
        self._turn: object | None = None
        """Of the key that is being taken; None when none is."""

    @property
    def idle(self) -> bool:
        """Every key that came was taken, and what came of it is drawn."""
        return self._turn is None

    async def came(self, key: events.Key) -> None:
        """A key was pressed: it waits until the one before it was taken."""
        if self._turn is not None:
            self._waiting.append(key)
        else:
            await self._take(key)

    async def _take(self, key: events.Key) -> None:
        self._turn = object()
        await self._take_key(key)
        self._wait(PATIENCE)

    def _wait(self, patience: int) -> None:
        """Go on once what had the key has drawn what came of it and what was opened is ready, or is gone."""
        turn = self._turn = object()

        async def go_on() -> None:
            if self._turn is not turn:
                return  # `drawn` may call twice: when all is drawn, and when it took too long
            if not self._ready() and patience:
                self._wait(patience - 1)
                return
            self._turn = None
            if self._waiting:
                await self._take(self._waiting.popleft())

        self._drawn(go_on)


def pass_by(had: DOMNode, then: Callable[[], object]) -> None:
    """Do something behind what a key made of the widget that had it. Twice up the tree is behind all of it: a line
    hears Enter itself, and tells it to those above it afterwards."""
    _through([each for each in [*had.ancestors_with_self] * 2 if isinstance(each, Widget)], then)


def _through(widgets: Sequence[Widget], then: Callable[[], object]) -> None:
    if widgets:
        widgets[0].call_next(_through, widgets[1:], then)
    else:
        then()
