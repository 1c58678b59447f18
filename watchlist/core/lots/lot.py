"""A lot: an entry made definite."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any, TypeVar

from watchlist.core.coins.issue import bare_words
from watchlist.core.fees.terms import Terms
from watchlist.core.lots.asking import Asking, asking, is_over, says_sold
from watchlist.core.lots.closing import Closing, closing
from watchlist.core.lots.entry import Entry, Trouble
from watchlist.core.lots.piece import feedback_cell, seller_cell, seller_in, weight_cell, weight_in
from watchlist.core.lots.record import Lot, PriceKind
from watchlist.core.lots.source import Source

__all__ = ["Lot", "PriceKind", "fingerprint", "make_lot", "same_lot"]

Value = TypeVar("Value")
READING_FIELDS = (
    "country",
    "denomination",
    "year",
    "mint",
    "variety",
    "grade",
    "service",
    "cert_number",
    "problem",
    "metal",
    "diameter",
    "quantity",
)
"""Fields of an entry that bear on the reading."""


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
    troubles: list[Trouble] = []

    def trouble(field: str, what: str) -> None:
        troubles.append(Trouble(source.name, entry.place, f"{what}; the lot is kept without its {_called(field)}"))

    closes = closing(entry, source, terms, words=words["times"], now=now, home_zone=home_zone, trouble=trouble)
    over = closes.ended or is_over(entry.fields.get("status", ""), words)
    over = over or ((closes.when is None or closes.when <= now) and says_sold(entry.description, words))
    asked = asking(
        entry, source, terms, words=words, home=home_currency, timed=closes.when is not None, over=over, trouble=trouble
    )
    return _lot(entry, source, asked, closes, _Piece.of(entry, words, trouble), now), troubles


def _called(field: str) -> str:
    return {"ends_at": "closing time"}.get(field, field.replace("_", " "))


def _lot(entry: Entry, source: Source, asked: Asking, closes: Closing, piece: _Piece, now: datetime) -> Lot:
    known = tuple((name, text) for name in READING_FIELDS if (text := entry.fields.get(name, "")))
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

    @classmethod
    def of(cls, entry: Entry, words: Mapping[str, Any], trouble: Callable[[str, str], None]) -> _Piece:
        fields = entry.fields
        seller, feedback = seller_cell(fields.get("seller", ""))
        named, counted = seller_in(entry.description, words)
        if text := fields.get("feedback", ""):
            feedback = _read("feedback", text, feedback_cell, trouble)
        weight = _read("weight", fields.get("weight", ""), weight_cell, trouble)
        quantity = _read("quantity", fields.get("quantity", ""), feedback_cell, trouble)
        return cls(
            seller or named,
            counted if feedback is None else feedback,
            weight or weight_in(entry.title) or weight_in(entry.description),
            max(1, quantity or 1),
        )


def _read(
    field: str, text: str, read: Callable[[str], Value | None], trouble: Callable[[str, str], None]
) -> Value | None:
    """A field as a figure; None and a trouble when it is none."""
    found = read(text) if text else None
    if text and found is None:
        trouble(field, f"the {field} `{text[:60]}` is no figure")
    return found


def fingerprint(lot: Lot) -> str:
    """The same for one piece offered again under another id: its title, its seller, and whether it is bid for."""
    way = "fixed" if lot.price_kind == "fixed" else "bid"
    said = "\n".join((bare_words(lot.title), bare_words(lot.seller), way))
    return hashlib.sha256(said.encode("utf-8", "replace")).hexdigest()[:32]


def same_lot(before: Lot, after: Lot) -> bool:
    """Whether a lot is an earlier one come back with another id: the same source and fingerprint.

    Two that stood in the list at one time are two lots, as when a seller offers several pieces in the same words.
    """
    if before.key == after.key:
        return True
    if before.source != after.source or fingerprint(before) != fingerprint(after):
        return False
    return not (before.last_seen and after.first_seen and before.last_seen >= after.first_seen)
