"""Every action of the screens: id, keys, name, what it does. Keys, footer, palette, help and docs come from here."""

from __future__ import annotations

import difflib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

LISTS = ("tray", "wants", "bids", "prices", "sources")
"""Screens with a list, in the order of their numbers."""
LOTS = ("tray", "ticket", "bids")
"""Screens that stand on a lot."""
COINS = ("prices", "sales")
"""Screens that stand on a coin's market."""
ALL = (*LISTS, "sales", "ticket", "detail", "help", "messages")
ALWAYS = ("redraw", "suspend")
"""Actions that also work while one types, unless their keys are letters."""


@dataclass(frozen=True, slots=True)
class Action:
    """One thing a person can do. `id` is what `[keys]` in settings.toml names."""

    id: str
    keys: tuple[str, ...]
    name: str
    """One or two words for the footer and the palette."""
    words: str
    """What it does, for help and docs."""
    screens: tuple[str, ...]
    footer: int = 0
    """Rank in the footer, 1 first; 0 is not shown there."""

    @property
    def method(self) -> str:
        """The action as the program names it."""
        return self.id.replace("-", "_")


ACTIONS: tuple[Action, ...] = (
    Action("down", ("j", "down"), "Down", "next row", ALL),
    Action("up", ("k", "up"), "Up", "row before", ALL),
    Action("page-down", ("pagedown",), "Page down", "one page on", ALL),
    Action("page-up", ("pageup",), "Page up", "one page back", ALL),
    Action("first", ("g", "home"), "First", "first row", ALL),
    Action("last", ("G", "end"), "Last", "last row", ALL),
    Action("tray", ("1",), "Tray", "lots to look at", ALL),
    Action("wants", ("2",), "Wants", "the want-list", ALL),
    Action("bids", ("3",), "Bids", "bids by sale day, with the budget", ALL),
    Action("prices", ("4",), "Prices", "bands and prices realised by coin", ALL),
    Action("sources", ("5",), "Sources", "where lots come from", ALL),
    Action(
        "open",
        ("enter",),
        "Open",
        "open the row: Ticket, lots of a want, sales of a coin, the plots, trouble of a source",
        (*LISTS, "sales"),
    ),
    Action("back", ("escape",), "Back", "stop what goes on; clear the sift; back", ALL, 1),
    Action("part", ("tab",), "Part", "next part of the screen", ALL),
    Action("part-back", ("shift+tab",), "Part back", "part before", ALL),
    Action("sift", ("/",), "Sift", "show only rows that match, as you type", LISTS, 2),
    Action("next-match", ("n",), "Next match", "next row with the words last sifted for", ("tray",)),
    Action("last-match", ("N",), "Last match", "the row before with these words", ("tray",)),
    Action("next-lot", ("n",), "Next lot", "the next lot of the Tray", ("ticket",), 7),
    Action("last-lot", ("N",), "Last lot", "the lot before", ("ticket",)),
    Action("sort", ("s",), "Sort", "order by the next column", ("tray",)),
    Action("turn", ("S",), "Turn", "turn the order round", ("tray",)),
    Action("follow", ("f",), "Follow", "follow the lot; again: no longer", ("tray", "ticket"), 3),
    Action("skip", ("x",), "Skip", "skip the lot; again: take it back", ("tray", "ticket"), 4),
    Action("bid", ("b",), "Bid", "put the lot on the bid list; again: take it off", ("tray", "ticket"), 5),
    Action("tick", ("space",), "Tick", "tick the row; f, x and b then act on all that are ticked", ("tray",)),
    Action("tick-all", ("*",), "Tick all", "tick every lot of the list, 1,000 at most; again: none", ("tray",)),
    Action("won", ("w",), "Won", "the lot was won: asks the price", LOTS, 9),
    Action("lost", ("l",), "Lost", "the lot fell to another: asks the price", LOTS, 10),
    Action("raise", ("+",), "Raise", "one increment more", ("bids",), 3),
    Action("lower", ("-",), "Lower", "one increment less", ("bids",), 4),
    Action("amount", ("e",), "Amount", "type the amount of the bid, or of the offer", ("bids", "ticket"), 8),
    Action("placed", ("p",), "Placed", "the bid is placed; again: planned", ("bids",), 5),
    Action("outbid", ("O",), "Outbid", "someone bid more: the bid binds no money of the budget", ("bids",)),
    Action("take-off", ("x",), "Take off", "take the lot off the bid list", ("bids",), 6),
    Action("set-aside", ("x",), "Set aside", "set the sale aside; again: count it in full", ("sales",), 3),
    Action("weigh", ("w",), "Weigh", "how much the sale counts, 0 to 1, with a note", ("sales",), 4),
    Action("grade-up", ("+",), "Finer", "look at the next finer grade", COINS, 7),
    Action("grade-down", ("-",), "Worn", "look at the next more worn grade", COINS, 8),
    Action("class", ("c",), "Raw or not", "raw pieces, or certified ones", COINS, 9),
    Action("undo", ("u",), "Undo", "turn back the last decision, also one of another day", ALL, 6),
    Action("redo", ("ctrl+r",), "Redo", "restore what undo turned back", ALL),
    Action(
        "dismiss",
        ("d",),
        "Dismiss doubt",
        "dismiss one sign of a doubt with a note, or restore it",
        ("tray", "ticket"),
        8,
    ),
    Action("correct", ("c",), "Correct", "mend the reading, and teach the words that misled", ("tray", "ticket"), 11),
    Action("address", ("o",), "Address", "open the lot's address; over SSH show it", LOTS, 12),
    Action("copy", ("y",), "Copy", "copy the row as one plain line", (*LISTS, "sales", "ticket"), 13),
    Action("copy-address", ("Y",), "Copy address", "copy the lot's address", LOTS),
    Action("copy-questions", ("A",), "Ask", "copy the questions to the seller as plain text", ("tray", "ticket"), 9),
    Action("gather", ("r", "f5"), "Gather", "read all sources now", LISTS, 14),
    Action("add", ("a",), "Add", "add a row; in the Tray a lot by hand", ("tray", "wants", "sources"), 7),
    Action("edit", ("e",), "Edit", "change the row", ("wants", "sources"), 8),
    Action("drop", ("x",), "Drop", "take the row out", ("wants", "sources"), 9),
    Action("try", ("t",), "Try", "read this source once and keep nothing", ("sources",), 10),
    Action("map", ("m",), "Map", "say which heading holds which column", ("sources",), 11),
    Action("venue", ("v",), "Venue", "the terms of the source's venue", ("sources",), 12),
    Action("add-venue", ("V",), "Add venue", "add a venue with its terms, from a blank form", ("sources",)),
    Action("import", ("i",), "Import", "read a file of your own, first without keeping it", LISTS),
    Action("messages", ("L",), "Messages", "the last 200 messages", ALL),
    Action("help", ("?", "f1"), "Help", "keys of this screen, marks and states", ALL, 15),
    Action("palette", ("ctrl+p", ":"), "Palette", "every action by name", ALL),
    Action("look", (), "Look", "dark or light", ALL),
    Action("redraw", ("ctrl+l",), "Draw again", "draw the whole screen again", ALL),
    Action("suspend", ("ctrl+z",), "Suspend", "back to the shell; fg returns", ALL),
    Action("stop", ("ctrl+c",), "Copy or stop", "copy marked text; else stop what goes on; else say how to quit", ALL),
    Action("quit", ("q", "ctrl+q"), "Quit", "leave; everything decided is kept", ALL, 16),
)
"""The order is that of help."""

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

    def _clashes(self) -> Iterable[str]:
        """A sentence for each key that two actions of one screen have."""
        found: dict[tuple[str, str, str], list[str]] = {}
        for screen in ALL:
            seen: dict[str, str] = {}
            for action in on(screen):
                for key in self.of(action):
                    if seen.setdefault(key, action.id) != action.id:
                        found.setdefault((key, seen[key], action.id), []).append(screen)
        for (key, first, other), screens in found.items():
            left = [shown_key(each) for each in self._keys[other] if each != key]
            stays = f"{other} keeps {', '.join(left)}" if left else f"{other} has none left, the palette reaches it"
            yield (
                f"settings: [keys] `{shown_key(key)}` is the key of both {first} and {other} on "
                f"{', '.join(screens)}; {first} has it, {stays}."
            )


def _library_name(key: str) -> str:
    """A key as a person writes it, as the table has it: `F3`, `Esc`, `PgUp` and `Ctrl+Q` whatever their case."""
    return _NAMES.get(key.casefold(), key) if len(key) > 1 else key


def _unknown(id: str, known: Iterable[str]) -> str:
    near = difflib.get_close_matches(id, list(known), 1, 0.4)
    hint = f"the nearest is `{near[0]}`" if near else "docs/keys.md lists them"
    return f"settings: [keys] `{id}` is no action; {hint}. It was passed over."


def on(screen: str) -> list[Action]:
    """The actions of one screen, in the order of help."""
    return [action for action in ACTIONS if screen in action.screens]


def footer(screen: str) -> list[Action]:
    """The actions that the footer shows, in its order."""
    return sorted((action for action in on(screen) if action.footer), key=lambda action: action.footer)


def by_id(id: str) -> Action:
    """The action of this id."""
    return next(action for action in ACTIONS if action.id == id)
