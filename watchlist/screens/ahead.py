"""Keys typed ahead of the screen: over a slow line several come at once, and each must meet the screen that the one
before it has opened."""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Sequence

from textual import events
from textual.app import App
from textual.dom import DOMNode
from textual.widget import Widget

LONGEST = 0.1
"""Seconds after which the next key goes on, should the widget that had the last one be gone."""
PATIENCE = 10
"""Times that long a key waits for what is being opened to be ready."""


class Ahead(App[None], inherit_bindings=False):
    """A program that takes one key after the other: `/` and a word typed in one go land in the sift."""

    def __init__(self, *, ansi_color: bool | None) -> None:
        self._keys_ahead: deque[events.Key] = deque()
        self._turn: object | None = None
        """Of the key that is being taken; None when none is."""
        super().__init__(ansi_color=ansi_color)

    @property
    def takes_keys(self) -> bool:
        """The screen on top is ready: a line that was opened to type in has the focus."""
        return True

    async def on_event(self, event: events.Event) -> None:
        """A key waits until the one before it was taken; all else goes its way."""
        if not isinstance(event, events.Key) or event.is_forwarded:
            await super().on_event(event)
        elif self._turn is not None:
            self._keys_ahead.append(event)
        else:
            await self._take(event)

    async def _take(self, key: events.Key) -> None:
        self._turn = object()
        await super().on_event(key)
        self._wait(PATIENCE)

    def _wait(self, patience: int) -> None:
        """Go on once what had the key has drawn what came of it, or is gone."""
        turn = self._turn = object()

        async def go_on() -> None:
            if self._turn is not turn:
                return
            if not self.takes_keys and patience:
                self._wait(patience - 1)
                return
            self._turn = None
            if self._keys_ahead:
                await self._take(self._keys_ahead.popleft())

        if self.is_running and self.screen_stack:
            had = self.focused or self.screen
            _through([*had.ancestors_with_self] * 2, lambda: self.screen.call_after_refresh(self.call_later, go_on))
            self.set_timer(LONGEST, go_on)


def _through(widgets: Sequence[DOMNode], then: Callable[[], object]) -> None:
    """Pass by the messages of these widgets, one after the other. Twice up the tree is behind what a key made: a line
    hears Enter itself, and tells it to those above it afterwards."""
    pumps = [each for each in widgets if isinstance(each, Widget)]
    if pumps:
        pumps[0].call_next(_through, pumps[1:], then)
    else:
        then()
