"""A lot by hand from what is typed: from a fair, a paper catalogue, a mail. The venue is looked up before."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from datetime import datetime
from typing import Any

from watchlist.core.clean import clean, clean_lines
from watchlist.core.fees.terms import Terms
from watchlist.core.lots.entry import Entry
from watchlist.core.lots.lot import make_lot
from watchlist.core.lots.piece import feedback_cell
from watchlist.core.lots.price import KINDS
from watchlist.core.lots.record import Lot
from watchlist.core.lots.source import Source
from watchlist.core.times.text import Setting, read_time
from watchlist.core.typed.words import TypedError, one_of

BY_HAND = "hand"
"""Name of the source of lots typed in."""
CELLS = {"price": "price", "closes": "ends_at", "sale": "sale", "seller": "seller", "ratings": "feedback"}
"""What is typed beside the title, under the name it has in an entry."""


def lot_from(
    said: Mapping[str, str], terms: Terms | None, *, tables: Mapping[str, Any], now: datetime, home: str, zone: str
) -> Lot:
    """The lot as said; `terms` are those of its venue, `zone` is the person's own. One without an id gets one of its
    title, venue and link, so that the same lot again replaces it.

    A word that cannot be read raises TypedError: it is there to be mended, as no feed's is."""
    texts = {name: clean(text) for name, text in said.items()}  # what is pasted is as hostile as a feed
    title, venue, link = (texts.get(name, "") for name in ("title", "venue", "link"))
    if not title:
        raise TypedError("A lot needs a title: its denomination, year, mint and grade")
    kind = one_of("price kind", texts.get("price_kind", ""), KINDS)
    _check_cells(texts, tables, now, (terms.time_zone if terms else "") or zone)
    entry = Entry(
        BY_HAND,
        "typed",
        texts.get("id") or hashlib.sha256(f"{title}|{venue}|{link}".encode()).hexdigest()[:8],
        title,
        clean_lines(said.get("description", "")),
        link,
        {cell: texts[name] for name, cell in CELLS.items() if texts.get(name)},
    )
    source = Source(BY_HAND, "", venue=venue, price_kind=kind)
    lot, troubles = make_lot(entry, source, terms, words=tables, now=now, home_currency=home, home_zone=zone)
    if troubles:  # the price: what else was typed is checked above
        why = str(troubles[0].facts["why"])
        raise TypedError(f"{why[:1].upper()}{why[1:]}; write it like 120 EUR")
    return lot


def _check_cells(texts: Mapping[str, str], tables: Mapping[str, Any], now: datetime, zone: str) -> None:
    ratings, closes = texts.get("ratings", ""), texts.get("closes", "")
    if ratings and feedback_cell(ratings, tables) is None:
        raise TypedError(f"Ratings: the number of ratings the seller has, such as 120, not `{ratings}`")
    if closes:
        read = read_time(closes, Setting(tables["times"], now, zone))
        if read.when is None and not read.ended:
            raise TypedError(f"Closes: `{closes}` cannot be read ({read.note}); write it like 27 Nov 2026 19:00")
