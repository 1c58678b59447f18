"""A decision on one lot or on several: follow, skip, bid, buy, offer, placed, outbid, clear."""

from __future__ import annotations

from collections.abc import Sequence

from watchlist.core.decisions import plan, review
from watchlist.core.decisions.review import Verb
from watchlist.core.money.amount import Money
from watchlist.desk import bidding, results
from watchlist.desk.amounts import above_zero
from watchlist.desk.changes import batch_name
from watchlist.desk.desk import Desk
from watchlist.desk.errors import DeskError, TooMuch
from watchlist.desk.recording import Decided, lot_of, record
from watchlist.shelf.store.rows import LotRow

BINDS: frozenset[Verb] = frozenset({"bid", "buy", "offer", "placed"})
COMMITS: frozenset[Verb] = frozenset({"bid", "buy", "offer"})
"""Decisions on what is still to come; `placed` may tell of what was."""
PAYS: frozenset[Verb] = BINDS | {"outbid"}
"""Decisions that may name an amount."""
TOLD = 3
"""Lots of a decision that are named one by one."""


def decide(desk: Desk, keys: Sequence[str], verb: Verb, amount: str = "", *, anyway: bool = False) -> Decided:
    """Write down one decision for each of the lots, undone together.

    Raises DeskError for a lot that is not there and for a bid on one that has ended, and TooMuch for a bid over its
    ceiling or over the budget unless `anyway`.
    """
    rows = [lot_of(desk, key) for key in keys]
    if verb in COMMITS:
        _still_open(desk, rows)
    paid = _amount(desk, rows[0], verb, amount) if amount else None
    warnings = _warned(desk, rows, verb, paid, anyway=anyway) if verb in BINDS else ()
    lots = tuple(row.lot.key for row in rows)
    made = review.decide(verb, lots, batch=batch_name(), at=desk.now, amount=paid)
    with desk.shelf.store.together():
        record(desk, made)
        due = results.follow(desk, lots if verb in results.SETTLES else ()).due
    more = f" and {len(lots) - TOLD} more" if len(lots) > TOLD else ""
    said = f"{', '.join(lots[:TOLD])}{more}: {f'{verb} {paid}' if paid else verb}"
    return Decided(lots, said, warnings, due)


def _still_open(desk: Desk, rows: Sequence[LotRow]) -> None:
    """Raises DeskError for a lot that can be had no more."""
    for row in rows:
        if row.state in ("won", "lost"):
            raise DeskError(f"{row.lot.key} is {row.state}; `clear` takes that back. Nothing was written.")
        if plan.has_ended(row.lot, desk.now):
            raise DeskError(
                f"{row.lot.key} has ended: say what it fell for, won or lost (`watchlist result`). Nothing was written."
            )


def _amount(desk: Desk, row: LotRow, verb: Verb, text: str) -> Money:
    if verb not in PAYS:
        raise DeskError(f"`{verb}` takes no amount; bid, buy, offer, placed and outbid do. Nothing was written.")
    return above_zero(desk, text, bidding.sale_currency(desk, row), "bid")


def _warned(desk: Desk, rows: Sequence[LotRow], verb: Verb, paid: Money | None, *, anyway: bool) -> tuple[str, ...]:
    """What speaks against bids. Raises TooMuch where that is their cost, unless they are written `anyway`."""
    listed = bidding.bids(desk)
    dear = tuple(bidding.too_much(desk, rows, paid, listed))
    if dear and not anyway:
        raise TooMuch(f"{'; '.join(dear)}. Nothing was written; --anyway writes it all the same.")
    return (*dear, *bidding.odd(rows, verb, paid, listed))
