"""What has changed since the last gather of lots followed, bid on or wanted."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from watchlist.core.decisions.bids import BidRow
from watchlist.core.decisions.review import Standing
from watchlist.desk.desk import Desk
from watchlist.desk.judging.relisting import placed_before, to_place_anew
from watchlist.page.overnight import Turn, changes, only_price
from watchlist.shelf.store.before import Was
from watchlist.shelf.store.rows import LotRow

WEIGHT = {"bid": 0, "followed": 1}
"""Bids come first, then what is followed, then what is only wanted; in each, prices that moved come last."""


@dataclass(frozen=True, slots=True)
class Changed:
    """One lot, and what has changed of it."""

    row: LotRow
    said: tuple[str, ...]


def overnight(desk: Desk, bids: Iterable[BidRow]) -> tuple[Changed, ...]:
    """Lots that are something else than at the last gather, and bids that have been passed, changed or not."""
    store = desk.shelf.store
    was = {each.key: each for each in store.before.changed(desk.now)}
    passed = [row.lot for row in bids if row.bid is not None and row.lot not in was]
    standing = dict(store.decisions.review().lots)
    for key in to_place_anew(store, standing):
        standing[key] = placed_before(standing[key])
    found = []
    for key in (*was, *passed):
        row = store.lots.get(key)
        if row is not None and (said := _said(desk, row, was.get(key), standing.get(key))):
            found.append(Changed(row, tuple(said)))
    return tuple(sorted(found, key=lambda each: (WEIGHT.get(each.row.state, 2), only_price(each.said))))


def _said(desk: Desk, row: LotRow, was: Was | None, standing: Standing | None) -> list[str]:
    lot, judged, zone = row.lot, row.judgement, desk.settings.home.time_zone
    if was is None:  # as it was: only what stands against a bid is told again
        mid = judged.band.mid if judged and judged.band else None
        signs = frozenset(sign.id for sign in judged.doubt.signs) if judged else frozenset()
        turn = Turn(lot, judged, standing, lot.price, lot.closes, mid, signs, False)
    else:
        turn = Turn(lot, judged, standing, was.price, was.closes, was.mid, was.signs, was.gone)
    return changes(turn, desk.now, zone)
