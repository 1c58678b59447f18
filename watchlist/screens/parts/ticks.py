"""Ticks in a list of lots: several are decided at once, with one undo."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Protocol

MOST = 1000
"""Lots ticked at most by one key."""


class Tickable(Protocol):
    """A line of the list."""

    @property
    def key(self) -> str: ...  # noqa: D102
    @property
    def state(self) -> str: ...  # noqa: D102


class Ticks:
    """Lots by key, with the state in which they were ticked."""

    def __init__(self) -> None:
        self._states: dict[str, str] = {}

    def __len__(self) -> int:
        return len(self._states)

    def __contains__(self, key: str) -> bool:
        return key in self._states

    def turn(self, line: Tickable) -> None:
        """Tick a line, or no longer."""
        if self._states.pop(line.key, None) is None:
            self._states[line.key] = line.state

    def turn_all(self, lines: Iterable[Tickable]) -> None:
        """Tick all of these; where all are ticked, none."""
        found = {line.key: line.state for line in lines}
        self._states = {} if found.keys() <= self._states.keys() else {**self._states, **found}

    def drop(self, keys: Iterable[str]) -> None:
        """Ticks of these lots have done their work."""
        for key in keys:
            self._states.pop(key, None)

    def clear(self) -> None:
        """No tick is left."""
        self._states.clear()

    def lots(self) -> Sequence[tuple[str, str]]:
        """Key and state of all that are ticked."""
        return list(self._states.items())
