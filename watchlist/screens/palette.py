"""Every action by name: type a part of it, Enter does it."""

from __future__ import annotations

from textual import events
from textual.app import ComposeResult
from textual.screen import ModalScreen
from textual.widgets import Input

from watchlist.page.columns import fitting, pad
from watchlist.page.rows import head_line
from watchlist.screens import actions
from watchlist.screens.keys import Keys
from watchlist.screens.layout import keys_line, shape, too_small
from watchlist.screens.looks import Paint, ink
from watchlist.screens.parts.listing import Held, Listing
from watchlist.screens.parts.prompt import INPUT_CSS, line_input
from watchlist.screens.parts.text_block import TextBlock
from watchlist.screens.program import Program

KEYS = ("Enter do it", "esc cancel", "down, up choose")


class ActionRows:
    """The actions of one screen in rows, sifted by words of their names."""

    def __init__(self, screen: str, keys: Keys) -> None:
        self._all, self._keys = actions.on(screen), keys
        self.found = self._all

    def sift(self, text: str) -> Held:
        """Those that hold all words; the rows that are left."""
        words = text.casefold().split()
        self.found = tuple(
            action
            for action in self._all
            if all(word in f"{action.name} {action.words} {action.id}".casefold() for word in words)
        )
        return Held(len(self.found))

    def words(self, at: int) -> str:
        """What an action does, in full: in the list its words may be cut."""
        return f"{self.found[at].name}: {self.found[at].words}." if at < len(self.found) else ""

    def head(self, width: int) -> str:
        """No head."""
        return ""

    def empty(self) -> str:
        """Nothing found."""
        return "No action has such a name."

    def row(self, at: int, width: int) -> Paint:
        """Name, keys, what it does."""
        action = self.found[at]
        label = self._keys.label(action)
        if width < 60:
            return [("ink", f"{pad(action.name, max(width - 13, 7))} {label}")]
        return [("ink", f"{pad(action.name, 15)} {pad(label, 12)} {action.words}")]


class Palette(ModalScreen[str], inherit_bindings=False):
    """The actions of one screen, sifted by what is typed. Gives the id of the one chosen, or nothing."""

    DEFAULT_CSS = (
        """
    Palette { layout: vertical; background: $background; }
    Palette > Input { width: 100%; }
    Palette #why { height: 2; }
    Palette.-short #why { height: 1; }
    Palette.-short #foot { display: none; }
    Palette.-none > * { display: none; }
    Palette.-none > #head { display: block; height: 1fr; }
    """
        + INPUT_CSS
    )

    def __init__(self, program: Program, screen: str) -> None:
        super().__init__()
        brush = program.brush
        self._rows = ActionRows(screen, program.keys)
        self._head, self._why, self._foot = (TextBlock(brush, id=id) for id in ("head", "why", "foot"))
        self._line = line_input("")
        self._listing = Listing(self._rows, brush, self._moved)

    def compose(self) -> ComposeResult:
        """Line and list."""
        yield from (self._head, self._line, self._listing, self._why, self._foot)

    @property
    def stands(self) -> bool:
        """All its parts are there: a key can come before the first and after the last of them."""
        return self.is_attached and self.is_current and self._foot.is_attached

    def on_mount(self) -> None:
        """Type at once."""
        if self.stands:
            self._fit()
            self._listing.show_rows(self._rows.sift(""))
            self._line.focus()

    def on_resize(self, event: events.Resize) -> None:
        """Another size, perhaps another layout."""
        if self.stands:
            self._fit()
            self.call_after_refresh(self._line.focus)  # a window of no use took the line away

    def _fit(self) -> None:
        width, height = self.app.size
        for name in ("none", "short"):
            self.set_class(shape(width, height) == name, f"-{name}")
        if self.has_class("-none"):
            self._head.show(too_small(width, height))
            return
        self._head.say(head_line(["Palette", "type a part of a name"], width), "ink!")
        self._foot.say(keys_line(KEYS, width), "quiet")
        self._moved()

    def _moved(self) -> None:
        """Another action is highlighted."""
        if self.stands:
            width = self.app.size.width
            lines = fitting(self._rows.words(self._listing.at), max(width, 1), 1 if self.has_class("-short") else 2)
            self._why.show(ink(lines))

    def on_input_changed(self, event: Input.Changed) -> None:
        """Sift."""
        if self.stands:
            self._listing.show_rows(self._rows.sift(event.value))

    def on_input_submitted(self) -> None:
        """Do it."""
        self._choose()

    def on_listing_chosen(self) -> None:
        """Do it."""
        self._choose()

    def _choose(self) -> None:
        if self.stands:
            self.dismiss(self._rows.found[self._listing.at].id if self._listing.has_row else "")

    def on_key(self, event: events.Key) -> None:
        """Move and leave."""
        if not self.stands:
            return
        step = {"down": 1, "up": -1, "pagedown": 8, "pageup": -8}.get(event.key)
        if step is not None:
            self._listing.step(step)
        elif event.key == "escape":
            self.dismiss("")
        else:
            return
        event.stop()
        event.prevent_default()
