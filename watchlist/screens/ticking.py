"""Ticks in the Tray: several lots decided at once, with one undo."""

from __future__ import annotations

from collections.abc import Sequence

from watchlist.desk.roll import Roll
from watchlist.screens.deciding import LotFrame
from watchlist.shelf.store.rows import LotLine

MOST = 1000
"""Lots ticked at most by one key."""
GOES = 12
"""Goes at the store before a rare sift is left at what was found."""


class Ticking(LotFrame):
    """A list of lots that can be ticked."""

    def __init__(self) -> None:
        super().__init__()
        self.ticked: dict[str, str] = {}
        """Lots by key, with the state in which they were ticked."""

    @property
    def line(self) -> LotLine | None:
        """The highlighted line."""
        raise NotImplementedError

    def from_first(self) -> Roll:
        """The list anew, from its first lot on."""
        raise NotImplementedError

    def chosen(self) -> Sequence[tuple[str, str]]:
        """Those ticked, else the highlighted lot."""
        if self.ticked:
            return list(self.ticked.items())
        line = self.line
        return [(line.key, self.app.pending(line.key) or line.state)] if line else []

    def decided(self, keys: Sequence[str]) -> None:
        """Ticks have done their work."""
        self._untick(keys)
        self.app.changed()

    def put_off(self, keys: Sequence[str]) -> None:
        """The rows show what waits for them; the next decision is for another lot."""
        self._untick(keys)
        self.show_ticks()

    def _untick(self, keys: Sequence[str]) -> None:
        for key in keys:
            self.ticked.pop(key, None)

    def show_ticks(self) -> None:
        """Draw what ticks have changed."""
        self.listing.refresh_changed()
        self.redraw()

    def do_tick(self) -> None:
        """Tick the row and go on."""
        line = self.line
        if line is None:
            return
        if self.ticked.pop(line.key, None) is None:
            self.ticked[line.key] = line.state
        self.listing.refresh_row(self.listing.at)
        self.listing.step(1)
        self.paper("head").show([self.head()])

    def do_tick_all(self) -> None:
        """Tick every lot of the list; when all are ticked, none."""
        roll = self.from_first()
        whole = roll.reach(MOST, patience=GOES)
        lines = [line for at in range(min(roll.high, MOST)) if (line := roll.line(at))]
        found = {line.key: line.state for line in lines}
        ticked = {} if found.keys() <= self.ticked.keys() else {**self.ticked, **found}
        self.ticked = ticked
        self.show_ticks()
        if ticked and (not whole or roll.high > MOST):
            self.app.say(f"{len(ticked):,} lots ticked; there are more.")
