"""Laying out the evidence: nodes, spots, fading, raw pieces, and drawing a part."""

from __future__ import annotations

from datetime import timedelta

import numpy as np
import pytest

from tests.market import made
from watchlist.core.coins.issue import Issue
from watchlist.core.prices.bandmath import place
from watchlist.core.prices.realised import GuideRow, Sale
from watchlist.market.rows import GUIDE, NODES, RAW, choose_nodes, fading, gather, spots, thin

ISSUES = [Issue("a", "Orvany", "5 tor", 1890), Issue("b", "Orvany", "1 tor", 1891), Issue("c", "Orvany", "1 tor", 1892)]


def sale(number: int, issue: str, grade: float = 45.0, raw: bool = False, days: int = 0) -> Sale:
    return Sale(number, issue, grade, 50.0, made.TODAY - timedelta(days=days), raw)


def test_few_grades_that_span_the_scale_are_the_nodes() -> None:
    assert list(choose_nodes([4, 40, 65, 4])) == [4, 40, 65]
    assert list(choose_nodes([40, 45])) == list(NODES)
    assert list(choose_nodes([])) == list(NODES)


def test_spots_agree_with_the_plain_ones() -> None:
    nodes = np.array(NODES)
    for grade in (1.0, 3.0, 12.0, 33.0, 64.5, 70.0, 0.0, 99.0):
        node, share = spots(nodes, np.array([grade]))
        assert (int(node[0]), float(share[0])) == pytest.approx(place(NODES, grade))


def test_a_raw_sale_makes_three_rows_a_certified_one() -> None:
    rows = gather(ISSUES, [sale(1, "a", 63, raw=True), sale(2, "b", 63)], [], made.TODAY, 5.0).rows
    assert sorted(rows.step[rows.kind == RAW]) == [0, 1, 2]
    assert len(rows.y) == 4


def test_issues_without_evidence_are_not_active() -> None:
    guide = GuideRow("c", 20, 30, 10, 20, made.TODAY)
    evidence = gather(ISSUES, [sale(1, "a")], [guide], made.TODAY, 5.0)
    assert {evidence.issues[i].key for i in evidence.active} == {"a", "c"}
    assert list(evidence.rows.kind).count(GUIDE) == 1


def test_a_guide_row_that_makes_no_sense_is_set_aside() -> None:
    rows = ((30, 20, 10, 20, "a"), (20, 30, 20, 10, "a"), (1, 2, 1, 2, "z"))
    bad = [GuideRow(key, low, high, cheap, dear, made.TODAY) for low, high, cheap, dear, key in rows]
    assert len(gather(ISSUES, [], bad, made.TODAY, 5.0).aside) == 3


def test_prices_fade_after_the_years_set() -> None:
    assert fading(np.array([0.0, 5.0]), 5.0) == pytest.approx([1.0, 1.0])
    assert fading(np.array([6.0]), 5.0) == pytest.approx([0.5], abs=0.01)


def test_drawing_a_part_keeps_its_rows_whole() -> None:
    m = made.market(4, issues=80, sales=400)
    whole = gather(m.issues, m.sales, [], made.TODAY, 5.0)
    part = thin(whole, 30)
    assert len(part.active) == 30
    for number, issue in enumerate(part.active):
        mine = whole.rows.y[whole.active[whole.rows.issue] == issue]
        assert list(part.rows.y[part.rows.issue == number]) == list(mine)
    assert thin(whole, 1000) is whole
