"""What a sift names that no lot tells of itself: which lots are in one parcel, or in one either-or group."""

from __future__ import annotations

from typing import TYPE_CHECKING

from watchlist.core.sift.line import Sift

if TYPE_CHECKING:
    from watchlist.desk.desk import Desk


def lots_in(desk: Desk, wanted: Sift) -> frozenset[str] | None:
    """The lots in the parcels and the either-or groups that a sift names; None where it names none."""
    named: list[frozenset[str]] = []
    if wanted.parcels:
        from watchlist.desk.in_hand.hands import hands  # parcels are worked out: no other sift waits for that

        parcels, ids = hands(desk).parcels, {name.casefold() for name in wanted.parcels}
        named.append(frozenset(lot.key for id, each in parcels.items() if id.casefold() in ids for lot in each.lots))
    if wanted.groups:
        groups = desk.shelf.notebook.groups.list()
        named.append(frozenset(lot for group in groups if group.id in wanted.groups for lot in group.lots))
    return frozenset.intersection(*named) if named else None
