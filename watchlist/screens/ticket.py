"""The Ticket: one lot in full, over the list."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from watchlist.page.ticket import Facts, Plot, head, ticket
from watchlist.screens.deciding import LotFrame
from watchlist.screens.looks import Paint

if TYPE_CHECKING:
    from watchlist.screens.app import Screens
    from watchlist.screens.bids import Bids
    from watchlist.screens.session import Session
    from watchlist.screens.tray import Tray
    from watchlist.shelf.store.rows import LotRow

CURVE_HEIGHT = 16


def plain_facts(session: Session, row: LotRow) -> Facts:
    """What the sentence of a lot needs; the market is not asked."""
    home = session.shelf.settings.home
    now = session.now
    return Facts(row.lot, row.reading, row.judgement, row.state, now, home.time_zone, now.astimezone(home.zone).date())


def lines_of(app: Screens, row: LotRow, width: int, plot: Plot) -> Sequence[Paint]:
    """The lines of a lot's Ticket."""
    from watchlist.desk import ticket as lot_ticket

    desk = app.session.desk
    if desk.settings.plots == "words":
        plot = "words"
    facts = lot_ticket.with_market(desk, row, lot_ticket.facts(desk, row))
    return ticket(facts, width, plot, CURVE_HEIGHT)


class Ticket(LotFrame):
    """One lot; the keys of the Tray act on it."""

    ID = "ticket"
    TITLE = "Ticket"
    HAS_LIST = False
    AUTO_FOCUS = ""
    WHY = 0

    def __init__(self, behind: Tray | Bids) -> None:
        super().__init__()
        self.behind = behind
        self._key = ""

    def load(self) -> None:
        """The Tray behind it has the lot."""
        if not self._key:
            row = self.behind.current()
            self._key = row.lot.key if row else ""
        self._kept = self.app.session.shelf.store.lots.get(self._key) if self._key else None

    def current(self) -> LotRow | None:
        """The lot of the Ticket."""
        return self._kept

    def place_cursor(self) -> None:
        """The terminal's own cursor stands on the first letter of the sentence."""
        if self.stands and self._kept is not None and self.is_current:
            pane = self.paper("pane")
            above = len(head(plain_facts(self.app.session, self._kept), max(pane.size.width, 10)))
            pane.set_cursor(above - pane.top)

    def head(self) -> Paint:
        """Screen and place."""
        return [("ink!", self.TITLE)]

    def pane(self, width: int, height: int) -> Sequence[Paint]:
        """The lot in full."""
        return lines_of(self.app, self._kept, width, "chart") if self._kept else [[("ink", "This lot is gone.")]]

    def decided(self, keys: Sequence[str]) -> None:
        """The Ticket stays on its lot."""
        self.app.changed()

    def do_next_lot(self) -> None:
        """The next lot of the Tray."""
        self._step(1)

    def do_last_lot(self) -> None:
        """The lot before."""
        self._step(-1)

    def _step(self, by: int) -> None:
        if self.app.stale(self.behind):
            self.behind.reload()  # a lot that was skipped is gone from the list: the next one stands there now
        row = self.behind.current()
        if row is not None and row.lot.key == self._key:
            self.behind.listing.step(by)
        self._key = ""
        self.load()
        self.paper("pane").top = 0
        self.redraw()
