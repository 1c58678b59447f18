"""A list that is all in memory: wants, bids, coins, sales, sources; sifted by words."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any, Generic, Protocol, TypeVar, runtime_checkable

from watchlist.core.sift.filter import holds
from watchlist.page.columns import cells, cut
from watchlist.screens.looks import Brush, Paint
from watchlist.screens.parts.dialogue import Dialogue
from watchlist.screens.parts.listing import Held, Listing
from watchlist.screens.parts.tall import TallListing

T = TypeVar("T")


class Kept(Protocol[T]):
    """What a table is about."""

    def items(self) -> Sequence[T]:
        """All of them, read from the shelf."""

    def text_of(self, item: T) -> str:
        """The words that a sift looks in."""

    def head(self, width: int) -> str:
        """The columns."""

    @property
    def none(self) -> str:
        """What to press where there is none."""


class Kind(Kept[T], Protocol[T]):
    """Rows of one line."""

    def row(self, item: T, width: int) -> Paint:
        """One row."""


@runtime_checkable
class Tall(Kept[T], Protocol[T]):
    """Rows in which nothing is cut that names a thing: it runs on in further lines."""

    def lines(self, item: T, width: int) -> Sequence[Paint]:
        """One row."""


class Table(Generic[T]):
    """The items, those that a sift leaves, and the list that shows them."""

    def __init__(self, kind: Kind[T] | Tall[T], brush: Brush, moved: Callable[[], None]) -> None:
        self._kind = kind
        self.listing = (TallListing if isinstance(kind, Tall) else Listing)(self, brush, moved)
        self.all: Sequence[T] = ()
        self.shown: Sequence[T] = ()
        self.text = ""
        self._laid: dict[tuple[int, int], Sequence[Paint]] = {}
        """The lines of tall rows: where a row stands rests on how tall those before it are."""

    @property
    def item(self) -> T | None:
        """The highlighted item."""
        at = self.listing.at
        return self.shown[at] if 0 <= at < len(self.shown) else None

    def load(self) -> None:
        """Read the items; the highlight stays in its line."""
        self.all = self._kind.items()
        self._show()

    def sift(self, text: str) -> None:
        """Show what holds these words."""
        self.text = text.strip()
        self.listing.at = self.listing.top = 0
        self._show()

    def _show(self) -> None:
        words = self.text.split()
        self.shown = [item for item in self.all if all(holds(word, self._kind.text_of(item)) for word in words)]
        self._laid.clear()
        at = min(self.listing.at, max(len(self.shown) - 1, 0))
        self.listing.show_rows(Held(len(self.shown)), at, min(at, max(self.listing.at - self.listing.top, 0)))

    def on_item(self, do: Callable[[T], object]) -> Callable[[], None]:
        """An action on the highlighted item; where there is none, nothing is done."""

        def act() -> None:
            if self.item is not None:
                do(self.item)

        return act

    def title(self, name: str, parts: Sequence[str], width: int) -> Paint:
        """The head line of the screen: its name, counts, the sift; what does not fit is left out."""
        line = name
        for part in (*parts, f"filter: {self.text}" if self.text else ""):
            longer = f"{line}   {part}" if part else line
            line = longer if cells(longer) <= width else line
        return [("ink!", cut(line, width))]

    # --- for the list ---

    def head(self, width: int) -> str:
        """The columns."""
        return self._kind.head(width)

    def row(self, at: int, width: int) -> Paint:
        """One row."""
        return self.lines(at, width)[0]

    def lines(self, at: int, width: int) -> Sequence[Paint]:
        """All lines of one row."""
        item = self.shown[at]
        if not isinstance(self._kind, Tall):
            return (self._kind.row(item, width),)
        if (at, width) not in self._laid:
            self._laid[at, width] = self._kind.lines(item, width)
        return self._laid[at, width]

    def empty(self) -> str:
        """What to press."""
        return f"Nothing matches `{self.text}`. esc clears it." if self.text else self._kind.none


class TableSift:
    """The sift of a table, followed as one types; Esc goes back to what was."""

    def __init__(self, table: Table[Any], dialogue: Dialogue, redraw: Callable[[], None]) -> None:
        self._table, self._dialogue, self._redraw = table, dialogue, redraw

    def ask(self) -> None:
        """Ask for the words."""
        before = self._table.text
        self._dialogue.ask("Sift:", self._to, value=before, live=self._to, left=lambda: self._to(before))

    def clear(self) -> None:
        """Show all again."""
        if self._table.text:
            self._to("")

    def _to(self, text: str) -> None:
        self._table.sift(text)
        self._redraw()
