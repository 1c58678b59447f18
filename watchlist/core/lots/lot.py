"""A lot: an entry made definite."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Any

from watchlist.core.clean import clean
from watchlist.core.coins.issue import bare_words
from watchlist.core.fees.terms import Terms
from watchlist.core.fees.working import TaxSign
from watchlist.core.lots.closing import Closing, closing
from watchlist.core.lots.entry import Entry
from watchlist.core.lots.piece import feedback_cell, seller_cell, seller_in, tax_cell, weight_cell, weight_in
from watchlist.core.lots.price import Asking, asking
from watchlist.core.lots.record import Lot
from watchlist.core.lots.sold import ASKED, End, is_over, is_unsold, says_sold, state_of
from watchlist.core.lots.source import Source
from watchlist.core.lots.trouble import Trouble

READING_FIELDS = (
    "country", "denomination", "year", "mint", "variety", "grade", "service", "cert_number", "problem", "metal",
    "diameter", "quantity", "remark", "language",
)  # fmt: skip
"""Fields of an entry that bear on the reading."""
LONGEST_SALE = 80
"""Letters of a sale's name that are kept."""


def make_lot(
    entry: Entry,
    source: Source,
    terms: Terms | None = None,
    *,
    words: Mapping[str, Any],
    now: datetime,
    home_currency: str,
    home_zone: str = "UTC",
) -> tuple[Lot, list[Trouble]]:
    """The lot that an entry means. A field that cannot be read is told as a trouble, and the lot goes on without it.

    `words`: all word tables by name (money, times and columns are used); `now`: aware, the time of the reading;
    `home_zone`: IANA zone of times for which neither source nor venue states one.
    """
    closes = closing(entry, source, terms, words=words["times"], now=now, home_zone=home_zone)
    state = state_of(entry, words)
    over = closes.ended or is_over(state, words)
    if not over and (closes.when is None or closes.when <= now):
        over = says_sold(entry.description, words, asked=any(entry.fields.get(name) for name in ASKED))
    end = End(over, over and is_unsold(state, words))
    asked = asking(entry, source, terms, words=words, home=home_currency, timed=closes.when is not None, end=end)
    piece = _Piece.of(entry, words)
    troubles = (*closes.troubles, *asked.troubles, *piece.troubles)
    placed = [replace(trouble, source=source.name, place=entry.place) for trouble in troubles]
    return _lot(entry, source, asked, closes, piece, now), placed


def _lot(entry: Entry, source: Source, asked: Asking, closes: Closing, piece: _Piece, now: datetime) -> Lot:
    known = tuple((name, text) for name in READING_FIELDS if (text := entry.fields.get(name, "")))
    if entry.id.isdecimal() and entry.title.startswith(entry.id):
        known = (*known, ("lot_id", entry.id))
    return Lot(
        key=f"{source.name}:{entry.id}",
        source=source.name,
        id=entry.id,
        venue=source.venue,
        title=entry.title,
        description=entry.description,
        link=entry.link if entry.link.startswith(("http://", "https://")) else "",
        seller=piece.seller,
        feedback=piece.feedback,
        price=asked.price,
        price_kind=asked.kind,
        price_note=asked.note,
        estimate_high=asked.high,
        closes=closes.when,
        closes_text=closes.text,
        closes_note=closes.note,
        weight_g=piece.weight[0] if piece.weight else None,
        weight_step_g=piece.weight[1] if piece.weight else None,
        quantity=piece.quantity,
        sale=clean(entry.fields.get("sale", ""), LONGEST_SALE),
        tax=piece.tax,
        fields=known,
        first_seen=now,
        last_seen=now,
    )


@dataclass(frozen=True, slots=True)
class _Piece:
    """Seller, weight and number of pieces, from the fields, else from the description."""

    seller: str
    feedback: int | None
    weight: tuple[float, float] | None
    quantity: int
    tax: TaxSign
    troubles: tuple[Trouble, ...]

    @classmethod
    def of(cls, entry: Entry, words: Mapping[str, Any]) -> _Piece:
        """What an entry says of its piece."""
        fields = entry.fields
        seller, feedback = seller_cell(fields.get("seller", ""), words)
        named, counted = seller_in(entry.description, words)
        feedback = feedback_cell(fields["feedback"], words) if fields.get("feedback") else feedback
        weight = weight_cell(fields.get("weight", ""), words)
        quantity = feedback_cell(fields.get("quantity", ""), words)
        read = {"feedback": feedback, "weight": weight, "quantity": quantity}
        unread = (name for name, figure in read.items() if figure is None and fields.get(name))
        return cls(
            seller or named,
            counted if feedback is None else feedback,
            weight or weight_in(entry.title, words) or weight_in(entry.description, words),
            max(1, quantity or 1),
            tax_cell(fields.get("tax", ""), words),
            tuple(Trouble("no figure", facts={"field": name, "text": fields[name][:60]}) for name in unread),
        )


def fingerprint(lot: Lot) -> str:
    """The same for one piece offered again under another id: its title, its seller, and whether it is bid for."""
    way = "fixed" if lot.price_kind == "fixed" else "bid"
    said = "\n".join((bare_words(lot.title), bare_words(lot.seller), way))
    return hashlib.sha256(said.encode("utf-8", "replace")).hexdigest()[:32]
