"""What hangs on an issue put under another one, when its key or name has changed."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from watchlist.core.sift.filter import Filter
from watchlist.desk.changes import Change
from watchlist.desk.desk import MOVED, Desk


def move(desk: Desk, change: Change, moves: Mapping[str, str]) -> int:
    """Put prices, guides, lots and purchases of old keys under the new ones, and forget old issues; how many prices.

    Lots that are open are judged anew by what the caller makes due."""
    store = desk.shelf.store
    change.touch("issue", moves)
    change.touch("price", (str(price.id) for old in moves for price in store.prices.of(old)))
    moved = store.catalogue.supersede(moves)
    if any(row.issue in moves for row in store.catalogue.guides()):
        change.touch("guides", ["all"])
        store.catalogue.move_guides(moves)
    for bought in store.purchases.all():
        if bought.issue in moves:
            change.touch("purchase", [bought.lot])
            store.purchases.put(replace(bought, issue=moves[bought.issue]))
    for old, new in moves.items():
        _move_lots(desk, change, old, new)
    change.touch("fact", [MOVED])
    store.facts.put(MOVED, chained(desk.moved, moves))
    return moved


def _move_lots(desk: Desk, change: Change, old: str, new: str) -> None:
    """The lots of an issue, those that have ended too."""
    store = desk.shelf.store
    keys = [line.key for line in store.listing.each(Filter(issues=(old,)))]
    rows = [row for row in store.lots.by_key(keys).values() if row.judgement]
    change.touch("lot", (row.lot.key for row in rows))
    store.lots.judge((row.lot.key, replace(row.judgement, issue=new)) for row in rows if row.judgement)


def chained(before: Mapping[str, str], moves: Mapping[str, str]) -> dict[str, str]:
    """Every key an issue ever had, each with the one it has now."""
    found = {old: moves.get(new, new) for old, new in before.items()} | dict(moves)
    return {old: new for old, new in found.items() if old != new and old not in moves.values()}
