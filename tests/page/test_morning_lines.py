"""The lines of lots in the morning: under one heading every cost stands under the other, however long the names."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from decimal import Decimal

import pytest

from tests.screens import pieces
from watchlist.core.money.amount import Money
from watchlist.core.reading.record import Reading
from watchlist.page.columns import cells
from watchlist.page.morning import Seen, lot_lines

NOW = datetime(2026, 3, 3, 7, 30, tzinfo=UTC)
NAMES = ("Orvany 1 tor 1889", "Orvany 5 tor 1884-M, wide date over narrow date", "5 角 1893")


def offered(n: int, name: str) -> Seen:
    row = pieces.lot(n, hours=5 + n)
    assert row.judgement
    judged = replace(row.judgement, all_in=Money(Decimal(40 * 10**n), "EUR"), so_far=n == 1)
    return Seen(replace(row.lot, closes=NOW + timedelta(hours=n)), judged, name, f"LM-{n}", Reading(name), NOW)


@pytest.mark.parametrize("width", [60, 80, 100, 200])
def test_costs_stand_under_each_other_and_no_line_is_too_long(width: int) -> None:
    lines = lot_lines([offered(n, name) for n, name in enumerate(NAMES)], NOW, width)
    assert len(lines) >= len(NAMES)
    assert max(map(cells, lines)) <= width
    firsts = [line for line in lines if "LM-" in line]
    ends = {cells(line[: line.index(" EUR")]) for line in firsts}
    assert len(ends) == 1, firsts
    assert all("  " in line[: line.index(" EUR")].rstrip("0123456789,")[-3:] for line in firsts), "a gap before a cost"


def test_a_heading_without_lots_has_no_line() -> None:
    assert lot_lines([], NOW, 80) == []
