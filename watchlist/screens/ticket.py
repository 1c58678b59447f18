"""The Ticket: one lot in full, over the list."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from watchlist.page.ticket import head
from watchlist.screens.frame import Frame
from watchlist.screens.looks import Paint
from watchlist.screens.lot_facts import lot_facts
from watchlist.screens.parts.dispatch import Doing, Has
from watchlist.screens.parts.on_lots import lot_actions
from watchlist.screens.program import Program
from watchlist.screens.ticket_text import ticket_lines
from watchlist.shelf.store.rows import LotRow

Step = Callable[[str, int], LotRow | None]
"""The lot so many behind this one on the list under the Ticket."""


class Ticket(Frame):
    """One lot; the keys of the Tray act on it."""

    ID = "ticket"
    TITLE = "Ticket"
    AUTO_FOCUS = ""
    WHY = 0

    def __init__(self, program: Program, key: str, step: Step) -> None:
        super().__init__(program)
        self.key, self._step_from = key, step
        self._row: LotRow | None = None
        self._on_lots = lot_actions(program, self, self.dialogue)

    def doing(self) -> Doing:
        """What is done to lots, and to the next lot."""
        return {**self._on_lots.doing, "next-lot": lambda: self._step(1), "last-lot": lambda: self._step(-1)}

    def has(self) -> Has:
        """Another program may have taken the lot away."""
        return {"lot": lambda: self._row, "row": lambda: self._row}

    def load(self) -> None:
        """The lot as it is now."""
        self._row = self.program.access.shelf.store.lots.get(self.key) if self.key else None

    def current(self) -> LotRow | None:
        """The lot of the Ticket."""
        return self._row

    def place_cursor(self) -> None:
        """The terminal's own cursor stands on the first letter of the sentence."""
        if self.stands and self._row is not None and self.is_current:
            facts = lot_facts(self.program.access, self._row)
            above = len(head(facts, max(self.pane_text.size.width, 10)))
            self.pane_text.set_cursor(above - self.pane_text.top)

    def pane(self, width: int, height: int) -> Sequence[Paint]:
        """The lot in full."""
        if self._row is None:
            return [[("ink", "This lot is gone.")]]
        return ticket_lines(self.program.access.desk, self._row, width, "chart")

    def _step(self, by: int) -> None:
        row = self._step_from(self.key, by)
        self.key = row.lot.key if row else ""
        self.load()
        self.pane_text.top = 0
        self.redraw()
