"""A seller: the lots seen, what was bought and what became of it, over-grading, doubts."""

from __future__ import annotations

from collections import Counter

from watchlist.core.coins.issue import bare_words
from watchlist.core.sift.filter import Filter
from watchlist.desk.desk import Desk
from watchlist.desk.errors import DeskError
from watchlist.desk.judging.judging import outcomes
from watchlist.page.sellers import Seller


def seller(desk: Desk, name: str) -> Seller:
    """All that the shelf knows of a seller. Raises DeskError where no lot names it."""
    store = desk.shelf.store
    lines = [
        line for line in store.listing.each(Filter(sellers=(name,))) if bare_words(line.seller) == bare_words(name)
    ]
    if not lines:
        raise DeskError(
            f"No lot names the seller `{name}`; `watchlist lots seller:NAME` takes the beginning of a name."
        )
    known, keys = outcomes(store), {line.key for line in lines}
    real = lines[0].seller
    still = store.listing.each(Filter(sellers=(name,), open_at=desk.now))
    usual = (store.market.header() or {}).get("short", {}).get("")
    return Seller(
        real,
        len(lines),
        sum(line.key in keys for line in still),
        Counter(line.mark for line in lines if line.mark),
        sum(each.lot in keys for each in store.purchases.all()),
        known.words(real),
        known.odds(real, ""),
        known.short(real, usual) if usual else None,
    )
