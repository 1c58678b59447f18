"""Venues and their terms: kept as typed, or dropped. What is due then is kept with them."""

from __future__ import annotations

from collections.abc import Mapping

from watchlist.core.fees.terms import Terms
from watchlist.core.typed.venue import terms_from
from watchlist.desk.changes import entry
from watchlist.desk.desk import Desk
from watchlist.desk.due import MARKET, Due
from watchlist.desk.errors import DeskError, refusing


def put_venue(desk: Desk, typed: Mapping[str, str], over: str = "", due: Due = MARKET) -> Terms:
    """Keep a venue with its terms, new or those of `over` changed: what is not typed stays. Another name than `over`
    makes another venue of what is typed alone.

    Raises TermsError, and DeskError for the name of another venue: that one is changed by nobody but its own."""
    name = typed.get("venue", over)
    there = {each.casefold(): each for each in desk.terms}.get(name.casefold(), "")
    if there and there != over:
        of = f", and this form is of {over}" if over else ""
        raise DeskError(
            f"There is a venue {there} already{of}; give another name, or change that one from a source of "
            "it or with `watchlist venue edit`. Nothing was changed."
        )
    with refusing():
        made = terms_from(
            {**typed, "venue": there or name}, desk.terms.get(there), home=desk.home, codes=desk.currencies
        )
    with entry(desk, f"terms of {made.venue} {'changed' if there else 'added'}", due=due) as change:
        change.put("venue", made)
    return made


def drop_venue(desk: Desk, name: str, due: Due = MARKET) -> None:
    """Take a venue out."""
    with entry(desk, f"venue {name} removed", due=due) as change:
        change.drop("venue", name)
