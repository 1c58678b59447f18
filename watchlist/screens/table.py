"""A screen over a list that is all in memory: wants, bids, coins, sources; sifted by words."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Generic, TypeVar

from watchlist.core.sift.filter import holds
from watchlist.page.columns import cells, cut
from watchlist.screens.frame import Frame
from watchlist.screens.listing import Held
from watchlist.screens.looks import Paint

T = TypeVar("T")


class Table(Frame, Generic[T]):
    """Rows of one kind. A subclass gives the items, their rows and their keys."""

    def __init__(self) -> None:
        super().__init__()
        self.all: Sequence[T] = ()
        self.shown: Sequence[T] = ()
        self.text = ""

    def items(self) -> Sequence[T]:
        """All items, read from the shelf."""
        raise NotImplementedError

    def text_of(self, item: T) -> str:
        """The words that a sift looks in."""
        raise NotImplementedError

    def head_parts(self) -> Sequence[str]:
        """What the head line says behind the name."""
        return ()

    def copy_line(self) -> str:
        """The row as one plain line."""
        return ""

    @property
    def item(self) -> T | None:
        """The highlighted item."""
        at = self.listing.at
        return self.shown[at] if 0 <= at < len(self.shown) else None

    def load(self) -> None:
        """Read the items; the highlight stays in its line."""
        self.all = self.items()
        self._sifted()

    def _sifted(self) -> None:
        words = self.text.split()
        self.shown = [item for item in self.all if all(holds(word, self.text_of(item)) for word in words)]
        listing = self.listing
        at = min(listing.at, max(len(self.shown) - 1, 0))
        listing.show_rows(Held(len(self.shown)), at, min(at, max(listing.at - listing.top, 0)))

    def head(self) -> Paint:
        """Name, counts, sift."""
        line = self.TITLE
        for part in (*self.head_parts(), f"sifted: {self.text}" if self.text else ""):
            longer = f"{line}   {part}" if part else line
            line = longer if cells(longer) <= self.app.size.width else line
        return [("ink!", cut(line, self.app.size.width))]

    def can(self, id: str) -> bool:
        """Actions on a row need a row; Esc something to clear."""
        if id == "back":
            return bool(self.text or self.app.busy)
        return (
            id
            not in (
                "edit",
                "drop",
                "try",
                "map",
                "copy",
                "open",
                "raise",
                "lower",
                "placed",
                "outbid",
                "take-off",
                "won",
                "lost",
                "address",
            )
            or self.item is not None
        )

    def do_sift(self) -> None:
        """Sift by words as one types."""
        before = self.text
        self.ask("Sift:", self.sift, value=self.text, live=self.sift, left=lambda: self.sift(before))

    def sift(self, text: str) -> None:
        """Show what holds these words."""
        self.text = text.strip()
        self.listing.at = self.listing.top = 0
        self._sifted()
        self.redraw()

    def do_back(self) -> None:
        """Stop a gather, else clear the sift."""
        if not self.app.stop_work() and self.text:
            self.sift("")

    def do_copy(self) -> None:
        """Copy the row."""
        text = self.copy_line()
        if text:
            self.app.copy_text(text)
        else:
            self.app.say("There is nothing to copy here.")

    def do_copy_address(self) -> None:
        """Copy what the row has for an address."""
        self.do_copy()

    def do_open(self) -> None:
        """The pane as a screen of its own, where it does not stand beside the list."""
        from watchlist.screens.detail import Detail

        if self.item is not None:
            self.app.push_screen(Detail(self.TITLE, lambda width: self.pane(width, 20)))
