"""Decisions put on the shelf, with the states that they give to lots: both, or neither."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from watchlist.core.decisions import review
from watchlist.core.decisions.review import Decision, Standing
from watchlist.core.typed.lot import BY_HAND
from watchlist.desk.changes import append
from watchlist.desk.desk import Desk
from watchlist.desk.due import NOTHING, Due
from watchlist.desk.gather_times import last_gather
from watchlist.desk.naming import lot_key
from watchlist.shelf.store.rows import LotLine, LotRow


@dataclass(frozen=True, slots=True)
class Decided:
    """What a decision did, and what to look out for."""

    keys: tuple[str, ...]
    said: str
    warnings: tuple[str, ...] = ()
    due: Due = NOTHING
    """What bands and marks have to do after it."""


def lot_of(desk: Desk, key: str) -> LotRow:
    """The lot that a key, or the end of one, means. Raises DeskError."""
    row = desk.shelf.store.lots.get(lot_key(desk.shelf.store, key))
    assert row is not None, "a key that was found is that of a lot"
    return row


def record(desk: Desk, decisions: Sequence[Decision]) -> None:
    """Append decisions on lots and set the states of these to where they stand then."""
    lots = [each.lot for each in decisions]
    with desk.shelf.store.together():
        append(desk, decisions)
        set_states(desk, lots, review.fold(decisions).lots)


def set_states(desk: Desk, lots: Iterable[str], standing: Mapping[str, Standing]) -> None:
    """Set the states of lots to where they stand."""
    store = desk.shelf.store
    lines = {key: store.listing.line(key) for key in dict.fromkeys(lots)}
    store.lots.set_states((key, _state(desk, line, standing.get(key))) for key, line in lines.items())


def _state(desk: Desk, line: LotLine | None, standing: Standing | None) -> review.State:
    closes = line.closes if line else None
    return review.state_of(standing, seen=not (line and _is_new(desk, line)), closes=closes, now=desk.now)


def _is_new(desk: Desk, line: LotLine) -> bool:
    """It came with the last gather: without a decision it is new until the next one."""
    last = last_gather(desk.shelf.store)
    if last is None or line.source == BY_HAND or line.first_seen is None:
        return False
    return line.first_seen >= last
