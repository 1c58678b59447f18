"""Lots for a list: sifted, ordered, page by page; and as the JSON that scripts rely on."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from watchlist.core.marks.record import Doubt, Judgement
from watchlist.core.money.amount import Money
from watchlist.core.sift.line import Sift
from watchlist.desk.desk import Desk
from watchlist.shelf.store.filters import Order
from watchlist.shelf.store.rows import LotLine, LotRow

UNJUDGED = Judgement(
    issue=None,
    candidates=(),
    wants=(),
    near_wants=(),
    grade_low=None,
    grade_high=None,
    band=None,
    all_in=None,
    cost_lines=(),
    gap=None,
    ceiling=None,
    ceiling_want=None,
    bid_limit=None,
    doubt=Doubt(),
    mark="unclear",
    also=(),
    so_far=False,
    reasons=(),
)
"""What is thought of a lot that was never judged: nothing."""


def lines(desk: Desk, wanted: Sift, order: Order = "closing", *, down: bool = False) -> Iterator[LotLine]:
    """All lines that pass, in order, read page by page."""
    return desk.shelf.store.listing.each(wanted.at(desk.now), order, down=down)


def whole(desk: Desk, found: Iterator[LotLine]) -> Iterator[LotRow]:
    """The whole records of lines, in their order."""
    for line in found:
        row = desk.shelf.store.lots.get(line.key)
        if row is not None:
            yield row


def to_json(row: LotRow) -> dict[str, Any]:
    """One lot as docs/formats.md has it."""
    lot, judged = row.lot, row.judgement or UNJUDGED
    return {
        "key": lot.key,
        "id": lot.id,
        "source": lot.source,
        "venue": lot.venue,
        "title": lot.title,
        "link": lot.link,
        "seller": lot.seller,
        "issue": judged.issue,
        "wants": list(judged.wants),
        "near_wants": [{"want": near.want, "why": near.why} for near in judged.near_wants],
        "grade_low": row.reading.grade_low,
        "grade_high": row.reading.grade_high,
        "mark": judged.mark if row.judgement else None,
        "also": list(judged.also),
        "doubt": judged.doubt.level,
        "reasons": [
            {"text": each.text, "strength": each.strength, "group": each.group, "could_be": each.could_be}
            | ({} if each.dismissed is None else {"dismissed": each.dismissed})
            for each in judged.reasons
        ],
        "band": judged.band.json() if judged.band else None,
        "price": _money(lot.price),
        "price_kind": lot.price_kind,
        "all_in": _money(judged.all_in),
        "chance_worth_it": judged.chance_worth_it,
        "bid_limit": _money(judged.bid_limit),
        "closes": lot.closes.isoformat() if lot.closes else None,
        "state": row.state,
    }


def _money(value: Money | None) -> dict[str, str] | None:
    return value.json() if value else None
