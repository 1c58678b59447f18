"""Every action by name: type a part of it, Enter does it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual import events
from textual.app import ComposeResult
from textual.screen import ModalScreen
from textual.widgets import Input

from watchlist.page.columns import fitting, pad
from watchlist.page.rows import head_line
from watchlist.screens import keys
from watchlist.screens.forms.form import keys_line
from watchlist.screens.frame import shape, too_small
from watchlist.screens.listing import Held, Listing
from watchlist.screens.looks import Paint
from watchlist.screens.paper import Paper
from watchlist.screens.prompt import INPUT_CSS, line_input

if TYPE_CHECKING:
    from watchlist.screens.app import Screens


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

    app: Screens

    def __init__(self, screen: str) -> None:
        super().__init__()
        self._all = keys.on(screen)
        self._found = self._all

    def compose(self) -> ComposeResult:
        """Line and list."""
        yield Paper(self.app.brush, id="head")
        yield line_input("")
        yield Listing(self, self.app.brush)
        yield Paper(self.app.brush, id="why")
        yield Paper(self.app.brush, id="foot")

    @property
    def stands(self) -> bool:
        """All its parts are there: a key can come before the first and after the last of them."""
        return self.is_attached and self.is_current and bool(self.query("#foot"))

    def on_mount(self) -> None:
        """Type at once."""
        if not self.stands:
            return
        self._fit()
        self.query_one(Listing).show_rows(Held(len(self._found)))
        self.query_one(Input).focus()

    def on_resize(self, event: events.Resize) -> None:
        """Another size, perhaps another layout."""
        if self.stands:
            self._fit()
            self.call_after_refresh(self.query_one(Input).focus)  # a window of no use took the line away

    def _fit(self) -> None:
        width, height = self.app.size
        for name in ("none", "short"):
            self.set_class(shape(width, height) == name, f"-{name}")
        head = self.query_one("#head", Paper)
        if self.has_class("-none"):
            head.show(too_small(width, height))
            return
        head.say(head_line(["Palette", "type a part of a name"], width), "ink!")
        self.query_one("#foot", Paper).say(keys_line(("Enter do it", "esc leave", "down, up choose"), width), "quiet")
        self.list_moved()

    def redraw_status(self) -> None:
        """A message waits in the list of messages."""

    def list_head(self, width: int) -> str:
        """No head."""
        return ""

    def list_moved(self) -> None:
        """What the highlighted action does, in full: in the list its words may be cut."""
        if not self.stands:
            return
        width, at = self.app.size.width, self.query_one(Listing).at
        words = f"{self._found[at].name}: {self._found[at].words}." if at < len(self._found) else ""
        lines = fitting(words, max(width, 1), 1 if self.has_class("-short") else 2)
        self.query_one("#why", Paper).show([[("ink", line)] for line in lines])

    def list_from_first(self) -> None:
        """All rows are held."""

    def list_empty(self) -> str:
        """Nothing found."""
        return "No action has such a name."

    def list_row(self, at: int, width: int) -> Paint:
        """Name, keys, what it does."""
        action = self._found[at]
        label = self.app.keys.label(action)
        if width < 60:
            return [("ink", f"{pad(action.name, max(width - 13, 7))} {label}")]
        return [("ink", f"{pad(action.name, 15)} {pad(label, 12)} {action.words}")]

    def on_input_changed(self, event: Input.Changed) -> None:
        """Sift."""
        if not self.stands:
            return
        words = event.value.casefold().split()
        self._found = [
            action
            for action in self._all
            if all(word in f"{action.name} {action.words} {action.id}".casefold() for word in words)
        ]
        self.query_one(Listing).show_rows(Held(len(self._found)))

    def on_input_submitted(self) -> None:
        """Do it."""
        self._choose()

    def on_listing_chosen(self) -> None:
        """Do it."""
        self._choose()

    def _choose(self) -> None:
        if not self.stands:
            return
        listing = self.query_one(Listing)
        self.dismiss(self._found[listing.at].id if listing.has_row else "")

    def on_key(self, event: events.Key) -> None:
        """Move and leave."""
        if not self.stands:
            return
        step = {"down": 1, "up": -1, "pagedown": 8, "pageup": -8}.get(event.key)
        if step is not None:
            event.stop()
            event.prevent_default()
            self.query_one(Listing).step(step)
        elif event.key == "escape":
            event.stop()
            event.prevent_default()
            self.dismiss("")
