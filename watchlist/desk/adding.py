"""A lot typed in by hand."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass, fields, replace

from watchlist.core.clean import clean, clean_lines
from watchlist.core.lots.asking import KINDS
from watchlist.core.lots.entry import Entry
from watchlist.core.lots.lot import fingerprint, make_lot
from watchlist.core.lots.piece import feedback_cell
from watchlist.core.lots.source import Source
from watchlist.core.times.text import read_time
from watchlist.desk import naming, relisting
from watchlist.desk.desk import Desk
from watchlist.desk.errors import DeskError
from watchlist.desk.judging import Judge
from watchlist.desk.typed import one_of
from watchlist.shelf.store.rows import LotRow

KEPT = "Nothing was kept."
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


def _checked(desk: Desk, typed: Typed, venue: str) -> Typed:
    """What a person types they can mend: a word that means nothing is refused. Raises DeskError."""
    kind = one_of("price kind", typed.price_kind, KINDS, after=KEPT)
    if typed.feedback and feedback_cell(typed.feedback) is None:
        raise DeskError(f"Feedback is the count of the seller's ratings, such as 120, not `{typed.feedback}`. {KEPT}")
    if typed.closes:
        terms = desk.terms.get(venue)
        zone = (terms.time_zone if terms else "") or desk.settings.home.time_zone
        read = read_time(typed.closes, desk.words["times"], now=desk.now, zone=zone)
        if read.when is None and not read.ended:
            raise DeskError(
                f"Closes: `{typed.closes}` cannot be read ({read.note}); write it like 27 Nov 2026 19:00. {KEPT}"
            )
    return replace(typed, price_kind=kind)


def add_lot(desk: Desk, typed: Typed) -> LotRow:
    """Take a lot as typed: read, judged and kept like any other. The same id again replaces it.

    Raises DeskError for a word that cannot be read: it is there to be mended, as no feed's is."""
    typed = _cleaned(typed)
    venue = naming.venue(desk.terms, typed.venue) if typed.venue and desk.terms else typed.venue
    typed = _checked(desk, typed, venue)
    own = typed.id or hashlib.sha256(f"{typed.title}|{venue}|{typed.link}".encode()).hexdigest()[:8]
    source = Source(BY_HAND, "", venue=venue, price_kind=typed.price_kind)
    fields = {"price": typed.price, "ends_at": typed.closes, "seller": typed.seller, "feedback": typed.feedback}
    entry = Entry(
        BY_HAND,
        "typed",
        own,
        typed.title,
        typed.description,
        typed.link,
        {name: text for name, text in fields.items() if text},
    )
    lot, troubles = make_lot(
        entry,
        source,
        desk.terms.get(venue),
        words=desk.words,
        now=desk.now,
        home_currency=desk.home,
        home_zone=desk.settings.home.time_zone,
    )
    if troubles:  # the price: what else was typed is checked above
        why = troubles[0].what.partition("; the lot is kept")[0]
        raise DeskError(f"{why[:1].upper()}{why[1:]}; write it like 120 EUR. {KEPT}")
    lot = replace(lot, first_seen=desk.now, last_seen=desk.now)
    reading = desk.reader.read(lot.title, lot.description, dict(lot.fields))
    row = Judge(desk).judge(LotRow(lot, reading, state="seen", fingerprint=fingerprint(lot)))
    back = relisting.returned(desk.shelf.store, [row], desk.now)
    desk.shelf.store.lots.save([row])
    relisting.keep(desk.shelf.store, back, desk.now)
    return row
