"""Keys: what they are called, and a person's own keys over those of the table of actions."""

from __future__ import annotations

import difflib
from collections.abc import Iterable, Iterator, Mapping

from watchlist.screens.actions import ACTIONS, ALL, Action, on

SIGNS = {
    "/": "slash",
    "?": "question_mark",
    ":": "colon",
    "+": "plus",
    "-": "minus",
    " ": "space",
    ".": "full_stop",
    ",": "comma",
    "*": "asterisk",
    "!": "exclamation_mark",
    ";": "semicolon",
    "=": "equals_sign",
    "_": "underscore",
}
"""What the terminal library calls the keys of signs."""
SHORT = {
    "escape": "esc",
    "pagedown": "PgDn",
    "pageup": "PgUp",
    "home": "Home",
    "end": "End",
    "enter": "Enter",
    "tab": "Tab",
    "shift+tab": "shift+Tab",
    "f1": "F1",
    "f5": "F5",
}


_NAMES = (
    {shown.casefold(): key for key, shown in SHORT.items()}
    | {key: key for key in SHORT}
    | {
        **{f"f{number}": f"f{number}" for number in range(1, 25)},
        **{f"ctrl+{letter}": f"ctrl+{letter}" for letter in "abcdefghijklmnopqrstuvwxyz"},
        **{word: word for word in ("space", "up", "down", "left", "right", "delete", "insert", "backspace")},
    }
)
"""Names of keys in small letters, to what the table calls them."""


def library_key(key: str) -> str:
    """A key as the terminal library names it: `/` is slash."""
    return SIGNS.get(key, key)


def shown_key(key: str) -> str:
    """A key as a person reads it: `escape` is esc."""
    return SHORT.get(key, key)


class Keys:
    """The table with the person's own keys over it."""

    def __init__(self, own: Mapping[str, str] | None = None) -> None:
        self.notices: list[str] = []
        known = {action.id: action for action in ACTIONS}
        taken: dict[str, tuple[str, ...]] = {}
        for id, key in (own or {}).items():
            if id in known:
                taken[id] = tuple(_library_name(part) for part in key.split()) or known[id].keys
            else:
                self.notices.append(_unknown(id, known))
        self._keys = {id: taken.get(id, action.keys) for id, action in known.items()}
        self.notices += self._clashes()

    def of(self, action: Action) -> tuple[str, ...]:
        """The keys of an action."""
        return self._keys[action.id]

    def first(self, id: str) -> str:
        """The key to name in a sentence; the action's id when it has none."""
        keys = self._keys[id]
        return shown_key(keys[0]) if keys else id

    def label(self, action: Action) -> str:
        """All keys of an action for a person: `?, F1`."""
        return ", ".join(map(shown_key, self.of(action)))

    def by_key(self, screen: str) -> dict[str, str]:
        """The ids of a screen's actions by key, as the terminal library names keys; of two the first has it."""
        return {library_key(key): action.id for action in reversed(on(screen)) for key in self.of(action)}

    def _clashes(self) -> Iterator[str]:
        """A sentence for each key that two actions of one screen have."""
        found: dict[tuple[str, str, str], list[str]] = {}
        for screen in ALL:
            for clash in self._clashes_on(screen):
                found.setdefault(clash, []).append(screen)
        for (key, first, other), screens in found.items():
            left = [shown_key(each) for each in self._keys[other] if each != key]
            stays = f"{other} keeps {', '.join(left)}" if left else f"{other} has none left, the palette reaches it"
            yield (
                f"settings: [keys] `{shown_key(key)}` is the key of both {first} and {other} on "
                f"{', '.join(screens)}; {first} has it, {stays}."
            )

    def _clashes_on(self, screen: str) -> Iterator[tuple[str, str, str]]:
        """Key, the action that has it, the action that would have it too."""
        seen: dict[str, str] = {}
        for action in on(screen):
            for key in self.of(action):
                if seen.setdefault(key, action.id) != action.id:
                    yield key, seen[key], action.id


def _library_name(key: str) -> str:
    """A key as a person writes it, as the table has it: `F3`, `Esc`, `PgUp` and `Ctrl+Q` whatever their case."""
    return _NAMES.get(key.casefold(), key) if len(key) > 1 else key


def _unknown(id: str, known: Iterable[str]) -> str:
    near = difflib.get_close_matches(id, list(known), 1, 0.4)
    hint = f" (did you mean `{near[0]}`?)" if near else "; docs/keys.md lists them"
    return f"settings: [keys] `{id}` is not an action{hint}. It was passed over."
