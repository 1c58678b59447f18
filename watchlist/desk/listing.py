"""Lots for a list: sifted, ordered, page by page; and as the JSON that scripts rely on."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from watchlist.core.money.amount import Money
from watchlist.core.sift import line as sift
from watchlist.core.sift.line import Sift
from watchlist.desk.desk import Desk
from watchlist.shelf.store.filters import Order
from watchlist.shelf.store.rows import LotLine, LotRow


def parse(text: str) -> Sift:
    """The filter line. Raises SiftError naming the wrong word and the nearest right one."""
    return sift.parse(text)


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
    lot, judged = row.lot, row.judgement
    return {
        "key": lot.key,
        "id": lot.id,
        "source": lot.source,
        "venue": lot.venue,
        "title": lot.title,
        "link": lot.link,
        "seller": lot.seller,
        "issue": judged.issue if judged else None,
        "wants": list(judged.wants) if judged else [],
        "near_wants": [{"want": near.want, "why": near.why} for near in judged.near_wants] if judged else [],
        "grade_low": row.reading.grade_low,
        "grade_high": row.reading.grade_high,
        "mark": judged.mark if judged else None,
        "also": list(judged.also) if judged else [],
        "doubt": judged.doubt.level if judged else "none",
        "reasons": [
            {"text": each.text, "strength": each.strength, "group": each.group, "could_be": each.could_be}
            | ({} if each.dismissed is None else {"dismissed": each.dismissed})
            for each in (judged.reasons if judged else ())
        ],
        "band": judged.band.json() if judged and judged.band else None,
        "price": _money(lot.price),
        "price_kind": lot.price_kind,
        "all_in": _money(judged.all_in) if judged else None,
        "chance_worth_it": judged.chance_worth_it if judged else None,
        "bid_limit": _money(judged.bid_limit) if judged else None,
        "closes": lot.closes.isoformat() if lot.closes else None,
        "state": row.state,
    }


def _money(value: Money | None) -> dict[str, str] | None:
    return value.json() if value else None
