"""The text of one lot's Ticket, with what the market says of it."""

from __future__ import annotations

from collections.abc import Sequence

from watchlist.desk.desk import Desk
from watchlist.desk.lists.ticket import facts, with_market
from watchlist.page.ticket import Plot, ticket
from watchlist.screens.looks import Paint
from watchlist.shelf.store.rows import LotRow

CURVE_HEIGHT = 16


def ticket_lines(desk: Desk, row: LotRow, width: int, plot: Plot) -> Sequence[Paint]:
    """All lines of it."""
    found = with_market(desk, row, facts(desk, row))
    return ticket(found, width, plot, CURVE_HEIGHT, desk.drawing)
