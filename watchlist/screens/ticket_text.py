"""The text of one lot's Ticket, with what the market says of it."""

from __future__ import annotations

from collections.abc import Sequence

from watchlist.desk import ticketing
from watchlist.desk.desk import Desk
from watchlist.page.ticket import Facts, Plot, ticket
from watchlist.screens.looks import Paint
from watchlist.shelf.store.rows import LotRow

CURVE_HEIGHT = 16


def ticket_lines(desk: Desk, row: LotRow, width: int, plot: Plot) -> Sequence[Paint]:
    """All lines of it."""
    facts: Facts = ticketing.with_market(desk, row, ticketing.facts(desk, row))
    return ticket(facts, width, "words" if desk.settings.plots == "words" else plot, CURVE_HEIGHT)
