"""Two buyers on one shelf: bids that the other one has on the same lot, or for the same want."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from watchlist.core.decisions.review import Standing
from watchlist.desk.desk import Desk
from watchlist.shelf.store.rows import LotRow

FREE = frozenset({"outbid", "cancelled"})
"""Stages at which a bid can win nothing any more."""


def bids_of_others(desk: Desk, rows: Sequence[LotRow]) -> Iterator[str]:
    """What speaks against bidding on these lots: the other would bid against you, or both would win one want."""
    if not desk.shelf.who:
        return
    theirs = {key: stands for key, stands in desk.shelf.store.decisions.review().lots.items() if _theirs(desk, stands)}
    kept = desk.shelf.store.lots.by_key(theirs)
    for row in rows:
        if (stands := theirs.get(row.lot.key)) is not None:
            yield f"{stands.who} has bid{_amount(stands)} on {row.lot.key}"
        else:
            yield from _same_want(row, theirs, kept)


def _theirs(desk: Desk, stands: Standing) -> bool:
    return stands.state == "bid" and stands.who not in ("", desk.shelf.who) and stands.stage not in FREE


def _same_want(row: LotRow, theirs: Mapping[str, Standing], kept: Mapping[str, LotRow]) -> Iterator[str]:
    wanted = frozenset(row.judgement.wants) if row.judgement else frozenset()
    for key, stands in theirs.items():
        judged = kept[key].judgement if key in kept else None
        both = sorted(wanted.intersection(judged.wants)) if judged else []
        if both:
            yield f"{stands.who} has bid{_amount(stands)} on {key} for {both[0]} too"


def _amount(stands: Standing) -> str:
    return f" {stands.amount}" if stands.amount else ""
