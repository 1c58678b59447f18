"""The lots of the Tray: which they are, in which order, and how their rows and the line over the list read."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

from watchlist.core.decisions.review import State
from watchlist.core.sift import line as sift
from watchlist.core.sift.filter import holds
from watchlist.core.sift.line import Sift, SiftError
from watchlist.desk.errors import DeskError
from watchlist.desk.lists.roll import Roll
from watchlist.desk.lists.sifting import lots_in
from watchlist.page import rows
from watchlist.page.wording import count
from watchlist.screens.background.shelf_access import ShelfAccess
from watchlist.screens.background.view import View
from watchlist.screens.keys import Keys
from watchlist.screens.looks import Paint
from watchlist.screens.parts.ticks import MOST, Ticks
from watchlist.screens.tray_counts import Counts
from watchlist.shelf.store.filters import Order, Place
from watchlist.shelf.store.rows import LotLine

ORDERS: tuple[Order, ...] = ("closing", "title", "all_in", "gap", "mark")
ORDER_WORDS = {"closing": "closing time", "title": "title", "all_in": "cost", "gap": "gap", "mark": "mark"}
WAITS = "~"
"""Before a row whose decision waits to be written."""
GOES = 12
"""Goes at the store before a rare sift is left at what was found."""


class TrayList:
    """One sift in one order, kept between runs; read by pages as far as it is looked at."""

    def __init__(
        self,
        access: ShelfAccess,
        view: View,
        keys: Keys,
        ticks: Ticks,
        pending: Callable[[str], State | None],
        short: Callable[[], bool],
    ) -> None:
        self._access, self._view, self._keys, self._ticks = access, view, keys, ticks
        self._pending, self._short = pending, short
        order = view.get("order")
        self.order: Order = order if order in ORDERS else "closing"
        self.turned = bool(view.get("turned"))
        self.text = str(view.get("sift") or "")
        self.asked = Sift()
        try:
            self.asked = sift.parse(self.text)
        except SiftError:  # an older program knew other words
            self.text = ""
        self.roll: Roll | None = None

    # --- which lots ---

    def restart(self, place: Place | None = None, offset: int = 0) -> Roll:
        """The lots read anew from a place on, and `offset` of those before it."""
        self.roll = self._rolled(None if place is None else Place(place.values, place.id + (1 if self.turned else -1)))
        if place is not None:
            self.roll.reach(-offset)
        return self.roll

    def _rolled(self, start: Place | None = None) -> Roll:
        store, now = self._access.shelf.store, self._access.now
        among = lots_in(self._access.desk, self.asked)
        return Roll(store, self.asked, now, self.order, down=self.turned, start=start, among=among)

    def first_lines(self) -> tuple[Sequence[LotLine], bool]:
        """As many lots from the first on as one key may tick; True: there are more."""
        roll = self._rolled()
        whole = roll.reach(MOST, patience=GOES)
        return [line for at in range(min(roll.high, MOST)) if (line := roll.line(at))], not whole or roll.high > MOST

    def line(self, at: int) -> LotLine | None:
        """The lot at a position that is held."""
        return self.roll.line(at) if self.roll else None

    def sift(self, text: str) -> bool:
        """Sift by this from now on; True when other lots are meant. Raises SiftError, and the sift stays."""
        asked = sift.parse(text)
        changed, self.text, self.asked = asked != self.asked, text.strip(), asked
        return changed

    def keep_sift(self) -> None:
        """The sift as it is, for the next run."""
        self._view.keep(sift=self.text)

    def sort(self) -> str:
        """Order by the next column; how the lots are ordered now, in words."""
        self.order = ORDERS[(ORDERS.index(self.order) + 1) % len(ORDERS)]
        return self._ordered()

    def turn(self) -> str:
        """Turn the order round; how the lots are ordered now, in words."""
        self.turned = not self.turned
        return self._ordered()

    def _ordered(self) -> str:
        self._view.keep(order=self.order, turned=self.turned)
        return f"Ordered by {ORDER_WORDS[self.order]}{', reversed' if self.turned else ''}."

    def match(self, at: int, way: int) -> int:
        """The next position from here with the words last sifted for. Raises DeskError where there is none."""
        words = self.asked.words or tuple(str(self._view.get("words") or "").split())
        if not words:
            raise DeskError("Filter for words first: press / and type a word.")
        self._view.keep(words=" ".join(words))
        while self.roll is not None and self.roll.reach(at + way) and (line := self.roll.line(at + way)) is not None:
            at += way
            if all(holds(word, line.title) for word in words):
                return at
        raise DeskError(f"No further lot with `{' '.join(words)}`.")

    # --- how they read ---

    def head(self, width: int) -> str:
        """The columns; in a small window they have no names."""
        return "" if self._short() else rows.head(rows.columns_for(width), self.order, self.turned)

    def row(self, at: int, width: int) -> Paint:
        """One lot."""
        line = self.line(at)
        if line is None:
            return [("ink", "")]
        sign = "+" if line.key in self._ticks else " "
        if (state := self._pending(line.key)) is not None:
            line, sign = replace(line, state=state), WAITS
        return rows.row(line, rows.columns_for(width), self._access.now, sign=sign)

    def empty(self) -> str:
        """What to press."""
        if self.text:
            return f"Nothing matches `{self.text}`. {self._keys.first('back')} clears it."
        notebook = self._access.shelf.notebook
        if not notebook.sources.list():
            first = "" if notebook.wants.list() else "No wants yet. Press 2, then a, to add one. "
            return f"{first}No sources yet. Press 5, then a. Try the samples: `watchlist try`."
        if not self._access.shelf.store.listing.count():
            return f"No lots yet. {self._keys.first('gather')} reads the sources."
        return "All lots reviewed. / state:x shows what was skipped."

    def title(self, name: str, counts: Counts, width: int) -> str:
        """The head line: lots, ticks, the sift, what is new, bargains, doubts, sources, the order."""
        late = f" {counts.late} to check" if counts.late else ""
        parts = (
            name,
            f"{self._known(counts)} of {counts.all:,} lots" if counts.all is not None else "",
            f"{len(self._ticks)} ticked" if self._ticks else "",
            f"filter: {self.text}" if self.text else "",
            f"{counts.new:,} new" if counts.new else "",
            *(count(number, mark) if (number := counts.marks.get(mark)) else "" for mark in ("bargain", "doubt")),
            f"sources {counts.ok} ok{late}" if counts.sources else "",
            self._order_words(),
        )
        return rows.head_line(parts, width)

    def _known(self, counts: Counts) -> str:
        """How many lots are shown, as far as it is known."""
        if counts.shown is not None or self.roll is None:
            return f"{counts.shown or 0:,}"
        held = self.roll.high - self.roll.low
        return f"{held:,}+" if self.roll.known is None and held else f"{self.roll.known or 0:,}"

    def _order_words(self) -> str:
        if self.order == "closing" and not self.turned:
            return ""
        return f"by {ORDER_WORDS[self.order]}{', turned' if self.turned else ''}"
