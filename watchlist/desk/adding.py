"""A lot typed in by hand."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass, fields, replace

from watchlist.core.clean import clean, clean_lines
from watchlist.core.lots.entry import Entry, Trouble
from watchlist.core.lots.lot import fingerprint, make_lot
from watchlist.core.lots.source import Source
from watchlist.desk import relisting
from watchlist.desk.desk import Desk
from watchlist.desk.errors import DeskError
from watchlist.desk.judging import Judge
from watchlist.shelf.store.rows import LotRow

BY_HAND = "hand"
"""Name of the source of lots typed in."""


@dataclass(frozen=True, slots=True)
class Typed:
    """What the person typed; empty is not given."""

    title: str
    venue: str = ""
    id: str = ""
    price: str = ""
    price_kind: str = ""
    closes: str = ""
    seller: str = ""
    feedback: str = ""
    link: str = ""
    description: str = ""


def _cleaned(typed: Typed) -> Typed:
    """What is pasted is hostile as a feed is. Raises DeskError when no title is left."""
    lines = clean_lines(typed.description)
    typed = Typed(**{part.name: clean(getattr(typed, part.name)) for part in fields(Typed)})
    if not typed.title:
        raise DeskError("A lot needs a title. Nothing was kept.")
    return replace(typed, description=lines)


def add_lot(desk: Desk, typed: Typed) -> tuple[LotRow, list[Trouble]]:
    """Take a lot as typed: read, judged and kept like any other. The same id again replaces it."""
    typed = _cleaned(typed)
    venue = desk.known_venue(typed.venue) if typed.venue and desk.terms else typed.venue
    own = typed.id or hashlib.sha256(f"{typed.title}|{venue}|{typed.link}".encode()).hexdigest()[:8]
    source = Source(BY_HAND, "", venue=venue, price_kind=typed.price_kind)
    fields = {"price": typed.price, "ends_at": typed.closes, "seller": typed.seller, "feedback": typed.feedback}
    entry = Entry(BY_HAND, "typed", own, typed.title, typed.description, typed.link,
                  {name: text for name, text in fields.items() if text})
    lot, troubles = make_lot(
        entry, source, desk.terms.get(venue), words=desk.words, now=desk.now, home_currency=desk.home,
            home_zone=desk.settings.home.time_zone
    )
    lot = replace(lot, first_seen=desk.now, last_seen=desk.now)
    reading = desk.reader.read(lot.title, lot.description, dict(lot.fields))
    row = Judge(desk).judge(LotRow(lot, reading, state="seen", fingerprint=fingerprint(lot)))
    back = relisting.returned(desk, [row])
    desk.shelf.store.save_lots([row])
    relisting.keep(desk, back)
    return row, troubles
