"""What the sentence of a lot needs; neither the desk nor the market is asked, so it is there with the first text."""

from __future__ import annotations

from watchlist.page.ticket import Facts
from watchlist.screens.background.shelf_access import ShelfAccess
from watchlist.shelf.store.rows import LotRow


def lot_facts(access: ShelfAccess, row: LotRow) -> Facts:
    """The lot as it is kept."""
    home, now = access.shelf.settings.home, access.now
    return Facts(row.lot, row.reading, row.judgement, row.state, now, home.time_zone, now.astimezone(home.zone).date())
