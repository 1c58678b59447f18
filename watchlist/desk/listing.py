"""Lots for a list: sifted, ordered, page by page; and as the JSON that scripts rely on."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal
from typing import Any

from watchlist.core.money.amount import Money
from watchlist.core.sift import line as sift
from watchlist.core.sift.line import Sift, SiftRow
from watchlist.desk.desk import Desk
from watchlist.shelf.store.filters import Filter, Order
from watchlist.shelf.store.rows import LotLine, LotRow


def parse(text: str) -> Sift:
    """The filter line. Raises SiftError naming the wrong word and the nearest right one."""
    return sift.parse(text)


def store_filter(wanted: Sift, desk: Desk) -> Filter:
    """The part of a sift that the store looks up; `passes` tests the rest on each line."""
    bounds = wanted.to_filter(desk.now)
    return Filter(
        marks=bounds.marks, states=bounds.states, issue=bounds.issues[0] if len(bounds.issues) == 1 else "",
        want=bounds.wants[0] if len(bounds.wants) == 1 else "", all_in_min=bounds.all_in_min,
        all_in_max=bounds.all_in_max, gap_min=bounds.gap_min, gap_max=bounds.gap_max,
        closes_after=bounds.closes_after, closes_before=bounds.closes_before,
    )


def lines(desk: Desk, wanted: Sift, order: Order = "closing", *, down: bool = False) -> Iterator[LotLine]:
    """All lines that pass, in order, read page by page."""
    for line in desk.shelf.store.each_line(store_filter(wanted, desk), order, down=down):
        if _passes(line, wanted, desk):
            yield line


def _passes(line: LotLine, wanted: Sift, desk: Desk) -> bool:
    if not wanted:
        return True
    row = SiftRow(
        title=line.title, venue=line.venue, seller=line.seller, issue=line.issue or None,
        wants=tuple(wanted.wants) if len(wanted.wants) == 1 else _wants(desk, line, wanted),
        mark=line.mark or "unclear", state=line.state,
        all_in=None if line.all_in is None else Decimal(str(line.all_in)),
        gap=None if line.gap is None else Decimal(str(line.gap)), closes=line.closes, first_seen=line.first_seen,
    )
    return wanted.test(row, desk.now)


def _wants(desk: Desk, line: LotLine, wanted: Sift) -> tuple[str, ...]:
    if not wanted.wants:
        return ()
    row = desk.shelf.store.lot(line.key)
    return row.judgement.wants if row and row.judgement else ()


def whole(desk: Desk, found: Iterator[LotLine]) -> Iterator[LotRow]:
    """The whole records of lines, in their order."""
    for line in found:
        row = desk.shelf.store.lot(line.key)
        if row is not None:
            yield row


def to_json(row: LotRow) -> dict[str, Any]:
    """One lot as docs/formats.md has it."""
    lot, judged = row.lot, row.judgement
    return {
        "key": lot.key, "id": lot.id, "source": lot.source, "venue": lot.venue, "title": lot.title, "link": lot.link,
        "seller": lot.seller, "issue": judged.issue if judged else None,
        "wants": list(judged.wants) if judged else [],
        "near_wants": [{"want": near.want, "why": near.why} for near in judged.near_wants] if judged else [],
        "grade_low": row.reading.grade_low, "grade_high": row.reading.grade_high,
        "mark": judged.mark if judged else None, "also": list(judged.also) if judged else [],
        "doubt": judged.doubt.level if judged else "none",
        "reasons": [
            {"text": each.text, "strength": each.strength, "group": each.group, "could_be": each.could_be}
            for each in (judged.reasons if judged else ())
        ],
        "band": judged.band.json() if judged and judged.band else None,
        "price": _money(lot.price), "price_kind": lot.price_kind,
        "all_in": _money(judged.all_in) if judged else None,
        "chance_worth_it": judged.chance_worth_it if judged else None,
        "bid_limit": _money(judged.bid_limit) if judged else None,
        "closes": lot.closes.isoformat() if lot.closes else None, "state": row.state,
    }


def _money(value: Money | None) -> dict[str, str] | None:
    return value.json() if value else None
