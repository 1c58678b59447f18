"""From a key to what is done: the one place where the table of actions meets the methods of a screen's parts."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from watchlist.desk.errors import PLAIN
from watchlist.page.columns import cells
from watchlist.screens import actions
from watchlist.screens.actions import LACKING, Action, Need
from watchlist.screens.keys import Keys, shown_key

Doing = Mapping[str, Callable[[], object]]
"""What is done, by the id of the action."""
Has = Mapping[Need, Callable[[], object]]
"""Whether there is what an action may need; what is not named is always there."""
ALWAYS_SHOWN = ("help", "quit")
"""Actions that the footer names in every window."""


class Dispatch:
    """The actions of one screen: found by key, done where what they need is there, named in the footer."""

    def __init__(self, screen: str, keys: Keys, doing: Doing, has: Has, say: Callable[[str], None]) -> None:
        self._keys, self._doing, self._has, self._say = keys, doing, has, say
        self._by_key = keys.by_key(screen)
        self._footer = [action for action in actions.footer(screen) if keys.of(action)]

    def of(self, key: str) -> str | None:
        """The id of the action of a key, as the terminal library names it."""
        return self._by_key.get(key)

    def can(self, action: Action) -> bool:
        """What the action needs is there."""
        return action.needs not in self._has or bool(self._has[action.needs]())

    def do(self, id: str) -> None:
        """Do one action; what cannot be done is said, and nothing is lost."""
        action = actions.by_id(id)
        if not self.can(action):
            if LACKING[action.needs]:
                self._say(LACKING[action.needs])
            return
        try:
            self._doing[id]()
        except PLAIN as error:
            self._say(str(error))

    def foot(self, width: int) -> str:
        """Key and name of the actions that can be done now, as many as fit."""
        labels = {action.id: self._label(action) for action in self._footer if self.can(action)}
        always = [labels.pop(id) for id in ALWAYS_SHOWN if id in labels]
        room = width - 1 - sum(cells(label) + 2 for label in always)
        first: list[str] = []
        for label in labels.values():
            room -= cells(label) + 2
            if room < 0:
                break
            first.append(label)
        return " " + "  ".join([*first, *always])

    def _label(self, action: Action) -> str:
        return f"{shown_key(self._keys.of(action)[0])} {action.name}"
