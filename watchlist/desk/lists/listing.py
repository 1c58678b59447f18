"""Lots for a list: sifted, ordered, page by page; and as the JSON that scripts rely on."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from typing import Any

from watchlist.core.decisions.bids import has_ended
from watchlist.core.marks.case import when_over
from watchlist.core.marks.record import Reason
from watchlist.core.marks.signnames import names_of
from watchlist.core.sift.line import Sift
from watchlist.desk.desk import Desk
from watchlist.desk.lists.sifting import lots_in
from watchlist.page.records import told
from watchlist.shelf.store.filters import Order
from watchlist.shelf.store.rows import LotLine, LotRow


def lines(desk: Desk, wanted: Sift, order: Order = "closing", *, down: bool = False) -> Iterator[LotLine]:
    """All lines that pass, in order, read page by page: first the lots that can be had, then the others, by closing
    the last to end first."""
    asked, each = replace(wanted.at(desk.now), keys=lots_in(desk, wanted)), desk.shelf.store.listing.each
    yield from each(replace(asked, open_at=desk.now), order, down=down)
    yield from each(replace(asked, over_at=desk.now), order, down=down != (order == "closing"))


def whole(desk: Desk, found: Iterator[LotLine]) -> Iterator[LotRow]:
    """The whole records of lines, in their order."""
    for line in found:
        row = desk.shelf.store.lots.get(line.key)
        if row is not None:
            yield as_now(desk, row)


def as_now(desk: Desk, row: LotRow) -> LotRow:
    """The lot as it is to be shown now: it may have been won or have ended since it was marked."""
    over = row.state in ("won", "lost", "ended") or has_ended(row.lot, desk.now)
    return replace(row, judgement=when_over(row.judgement)) if over and row.judgement else row


FIELDS = {
    "key": "lot.key",
    "id": "lot.id",
    "source": "lot.source",
    "venue": "lot.venue",
    "title": "lot.title",
    "link": "lot.link",
    "seller": "lot.seller",
    "issue": "judgement.issue",
    "wants": "judgement.wants",
    "near_wants": "judgement.near_wants",
    "grade_low": "reading.grade_low",
    "grade_high": "reading.grade_high",
    "mark": "judgement.mark",
    "also": "judgement.also",
    "doubt": "judgement.doubt.level",
    "reasons": "judgement.reasons",
    "value": "judgement.value",
    "band": "judgement.band",
    "price": "lot.price",
    "price_kind": "lot.price_kind",
    "all_in": "judgement.all_in",
    "chance_worth_it": "judgement.chance_worth_it",
    "bid_limit": "judgement.bid_limit",
    "closes": "lot.closes",
    "state": "state",
}
"""A lot as docs/formats.md has it, and where its record holds it."""


def to_json(row: LotRow) -> dict[str, Any]:
    """One lot as JSON."""
    made = told(row, FIELDS)
    names = {sign.text: name for name, sign in names_of(row.judgement).items()}
    return made | {
        "wants": made["wants"] or [],
        "near_wants": [{"want": near.want, "why": near.why} for near in made["near_wants"] or ()],
        "also": made["also"] or [],
        "doubt": made["doubt"] or "none",
        "reasons": [_reason(each, names) for each in made["reasons"] or ()],
    }


def _reason(each: Reason, names: Mapping[str, str]) -> dict[str, Any]:
    made = {"text": each.text, "strength": each.strength, "group": each.group, "could_be": each.could_be}
    made |= {"name": names[each.text]} if each.text in names else {}
    return made if each.dismissed is None else made | {"dismissed": each.dismissed}
