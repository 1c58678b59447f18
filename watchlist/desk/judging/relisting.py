"""Lots that were over and are offered again, under their old id or a new one."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from datetime import datetime

from watchlist.core.coins.issue import bare_words
from watchlist.core.decisions import review
from watchlist.core.decisions.bids import has_ended
from watchlist.core.decisions.life import WITH_THE_VENUE
from watchlist.core.decisions.review import State
from watchlist.core.lots.record import Lot
from watchlist.shelf.store import Store
from watchlist.shelf.store.rows import LotLine, LotRow


def returned(store: Store, rows: Iterable[LotRow], now: datetime) -> list[tuple[str, State]]:
    """Those of the lots that are kept as over and come open, each with the state it gets: what the person decided still
    holds, but for a lot that was lost. Ask before they are kept."""
    back = [row.lot for row in rows if _is_open(row.lot, now) and _was_over(store.listing.line(row.lot.key), now)]
    if not back:
        return []
    standing = store.decisions.review().lots
    return [(lot.key, _state(lot, standing.get(lot.key), now)) for lot in back]


def _is_open(lot: Lot, now: datetime) -> bool:
    return not has_ended(lot, now) and (lot.closes is not None or lot.price_kind == "fixed")


def _was_over(line: LotLine | None, now: datetime) -> bool:
    if line is None or line.state not in ("ended", "lost", "bid"):
        return False
    return line.kind == "ended" or (line.closes is not None and line.closes <= now)


def _state(lot: Lot, standing: review.Standing | None, now: datetime) -> State:
    held = None if standing and standing.state in ("lost", "ended") else standing
    return review.state_of(held, seen=False, closes=lot.closes, now=now)


RELISTED = "relisted"
"""Kind of the finding that says when a lot came back."""


def keep(store: Store, back: Sequence[tuple[str, State]], now: datetime) -> None:
    """Set the states of lots that came back, and note the day: a bid placed before was placed at the earlier sale."""
    if back:
        store.lots.set_states(back)
    for key, _ in back:
        store.findings.add(RELISTED, key, now, {})


def to_place_anew(store: Store, standing: Mapping[str, review.Standing]) -> frozenset[str]:
    """Lots with a bid that was placed, or outbid, at an earlier sale of the lot."""
    return frozenset(
        found.lot
        for found in store.findings.of(RELISTED)
        if (stands := standing.get(found.lot)) and stands.stage in WITH_THE_VENUE and stands.at < found.at
    )


def placed_before(standing: review.Standing) -> review.Standing:
    """The same with its bid planned: what the venue had of it was of an earlier sale."""
    return replace(standing, stage="planned", placed=None, acknowledged=None)


def may_be(store: Store, keys: Sequence[str], row: LotRow) -> list[str]:
    """Those of the lots that this one may be under a new id: nobody is known to have bought them, and beside the title
    the seller, the certificate number or the price is the same. A title alone names many pieces of a house."""
    found = store.lots.by_key(keys)
    return [key for key in keys if key in found and not _sold(found[key]) and _same_piece(found[key], row)]


def _same_piece(old: LotRow, new: LotRow) -> bool:
    return (
        (bool(new.lot.seller) and bare_words(old.lot.seller) == bare_words(new.lot.seller))
        or (bool(new.reading.cert_number) and old.reading.cert_number == new.reading.cert_number)
        or (new.lot.price is not None and old.lot.price == new.lot.price)
    )


def _sold(row: LotRow) -> bool:
    return row.state in ("won", "lost") or (row.lot.price_kind == "ended" and row.lot.price is not None)
