"""Lots deleted, one or by sift; what a person has a bid or a result on stays."""

from __future__ import annotations

from collections.abc import Sequence

from watchlist.desk.changes import entry
from watchlist.desk.desk import DELETED_LOTS, Desk
from watchlist.desk.errors import DeskError
from watchlist.desk.naming import named
from watchlist.page.wording import count

BOUND = ("bid", "won", "lost")
"""States in which a lot is more than a line of a list."""


def delete(desk: Desk, keys: Sequence[str]) -> str:
    """Delete lots; they do not come back while their source lists them. A sentence on it. Raises DeskError."""
    store = desk.shelf.store
    if not keys:
        raise DeskError("No lot is meant. Nothing was changed.")
    lines = [line for key in keys if (line := store.listing.line(key))]
    if held := next((line for line in lines if line.state in BOUND), None):
        what = "a bid" if held.state == "bid" else "a result"
        raise DeskError(
            f"{held.key} has {what}: `watchlist decide {held.key} clear` takes it off first. Nothing was changed."
        )
    alone = store.lots.get(lines[0].key) if len(lines) == 1 else None
    said = f"{named(desk, alone)} deleted" if alone else f"{count(len(lines), 'lot')} deleted"
    with entry(desk, said) as change:
        change.touch("fact", [DELETED_LOTS])
        store.facts.put(DELETED_LOTS, sorted({*desk.deleted_lots, *(line.key for line in lines)}))
        change.drop("lot", *(line.key for line in lines))
    return said
