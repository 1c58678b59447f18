"""Lots that were over and are offered again, under their old id or a new one."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from watchlist.core.decisions import plan, review
from watchlist.core.decisions.review import State
from watchlist.core.lots.record import Lot
from watchlist.desk.desk import Desk
from watchlist.shelf.store.rows import LotLine, LotRow


def returned(desk: Desk, rows: Iterable[LotRow]) -> list[tuple[str, State]]:
    """Those of the lots that are kept as over and come open, each with the state it gets: what the person decided still
    holds, but for a lot that was lost. Ask before they are kept."""
    back = [
        row.lot
        for row in rows
        if _is_open(desk, row.lot) and _was_over(desk, desk.shelf.store.listing.line(row.lot.key))
    ]
    if not back:
        return []
    standing = desk.shelf.store.decisions.review().lots
    return [(lot.key, _state(desk, lot, standing.get(lot.key))) for lot in back]


def _is_open(desk: Desk, lot: Lot) -> bool:
    return not plan.has_ended(lot, desk.now) and (lot.closes is not None or lot.price_kind == "fixed")


def _was_over(desk: Desk, line: LotLine | None) -> bool:
    if line is None or line.state not in ("ended", "lost", "bid"):
        return False
    return line.kind == "ended" or (line.closes is not None and line.closes <= desk.now)


def _state(desk: Desk, lot: Lot, standing: review.Standing | None) -> State:
    held = None if standing and standing.state == "lost" else standing
    return review.state_of(held, seen=False, closes=lot.closes, now=desk.now)


RELISTED = "relisted"
"""Kind of the finding that says when a lot came back."""


def keep(desk: Desk, back: Iterable[tuple[str, State]]) -> None:
    """Set the states of lots that came back, and note the day: a bid placed before was placed at the earlier sale."""
    back = list(back)
    if back:
        desk.shelf.store.lots.set_states(back)
        for key, _ in back:
            desk.shelf.store.findings.add(RELISTED, key, desk.now, {})


def to_place_anew(desk: Desk, standing: Mapping[str, review.Standing]) -> frozenset[str]:
    """Lots with a bid that was placed, or outbid, at an earlier sale of the lot."""
    return frozenset(
        found.lot
        for found in desk.shelf.store.findings.of(RELISTED)
        if (stands := standing.get(found.lot)) and stands.stage in ("placed", "outbid") and stands.at < found.at
    )


def unsold(desk: Desk, keys: Sequence[str]) -> list[str]:
    """Those of the lots that nobody is known to have bought: only such a one can be offered again."""
    found = desk.shelf.store.lots.by_key(keys)
    return [key for key in keys if key in found and not _sold(found[key])]


def _sold(row: LotRow) -> bool:
    return row.state in ("won", "lost") or (row.lot.price_kind == "ended" and row.lot.price is not None)
