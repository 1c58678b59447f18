"""Sales put in another form or taken away, so that the file they came from does not bring them back as they were."""

from __future__ import annotations

from collections.abc import Sequence

from watchlist.core.prices.realised import PriceRealised
from watchlist.desk.changes import Change
from watchlist.desk.desk import DELETED_SALES, Desk


def put(desk: Desk, change: Change, sales: Sequence[PriceRealised]) -> None:
    """Keep these sales in the place of those with their numbers, as a part of one change."""
    change.touch("price", (str(sale.id) for sale in sales))
    _remember(desk, change, desk.shelf.store.prices.put(sales))


def drop(desk: Desk, change: Change, sales: Sequence[PriceRealised]) -> None:
    """Delete these sales, as a part of one change."""
    _remember(desk, change, desk.shelf.store.prices.gone(sale.id for sale in sales))
    change.drop("price", *(str(sale.id) for sale in sales))


def _remember(desk: Desk, change: Change, gone: Sequence[str]) -> None:
    if gone:
        facts = desk.shelf.store.facts
        change.touch("fact", [DELETED_SALES])
        facts.put(DELETED_SALES, list(dict.fromkeys([*(facts.get(DELETED_SALES) or ()), *gone])))
