"""Part exchange: a piece of one's own that pays for a part of a parcel."""

from __future__ import annotations

from watchlist.desk.changes import batch_name
from watchlist.desk.desk import Desk
from watchlist.desk.errors import DeskError
from watchlist.desk.held import arrivals, pieces
from watchlist.desk.held.parcels import parcel
from watchlist.desk.in_hand.courses import numbered
from watchlist.desk.naming import lot_key
from watchlist.desk.recording import Decided


def exchange(desk: Desk, key: str, said: pieces.Said, into: str, *, anyway: bool = False) -> Decided:
    """Write that a piece was given for a sum that counts as paid for a parcel: sold and paid in one stroke.

    Raises DeskError, and TooMuch for what is asked twice unless `anyway`."""
    if said.act != "sold":
        raise DeskError(f"A piece is given in exchange by `sold SUM --into {into}`. Nothing was written.")
    shown, batch = parcel(desk, into), batch_name()
    if shown.currency != desk.home:
        raise DeskError(
            f"{shown.id} is in {shown.currency}: write the sale, and `watchlist parcel {shown.id} paid SUM --settles "
            "SUM`, one by one. Nothing was written."
        )
    if (numbered(desk, key) or lot_key(desk.shelf.store, key)) in {each.key for each in shown.lots}:
        raise DeskError(f"{key} came in {shown.id} itself, so it cannot pay for it. Nothing was written.")
    with desk.shelf.store.together():
        paid = arrivals.say(desk, shown.id, arrivals.Said("paid", said.amount, said.on), anyway=anyway, batch=batch)
        sold = pieces.say(desk, key, said, anyway=anyway, batch=batch)
    return Decided(sold.keys, f"{sold.said}. {paid.said}", (*paid.warnings, *sold.warnings), sold.due | paid.due)
