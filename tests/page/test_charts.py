"""The two plots: ASCII, within their width, exact to one cell, and never without their sentence."""

from __future__ import annotations

import math
from decimal import Decimal

from hypothesis import given, settings
from hypothesis import strategies as st

from watchlist.page.charts import Rule, Rung, chart_sentence, grade_chart, price_curve

GRADES = (1, 4, 8, 12, 20, 30, 40, 45, 50, 58, 60, 63, 65, 67, 70)
prices = st.floats(0.01, 1e7, allow_nan=False)
widths = st.integers(24, 200)


@st.composite
def ladders(draw: st.DrawFn) -> list[Rung]:
    chosen = sorted(draw(st.sets(st.sampled_from(GRADES), min_size=1, max_size=12)))
    rungs = []
    for grade in chosen:
        low, mid, high = sorted(draw(st.tuples(prices, prices, prices)))
        ends = [Decimal(str(round(end, 2))) or Decimal("0.01") for end in (low, mid, high)]
        rungs.append(Rung(grade, ends[0], ends[1], ends[2], draw(st.sampled_from((0, 1, 14, 2200)))))
    return rungs


@given(prices, prices, prices, st.integers(2, 200))
@settings(max_examples=150, deadline=None)
def test_a_dearer_coin_is_never_drawn_left_of_a_cheaper_one(a: float, b: float, edge: float, cells: int) -> None:
    rule = Rule(min(a, b, edge), max(a, b, edge), cells)
    if a <= b:
        assert rule.cell(a) <= rule.cell(b)
    assert 0 <= rule.cell(a) < cells


@given(prices, prices, prices, st.integers(2, 200))
@settings(max_examples=150, deadline=None)
def test_a_price_is_drawn_within_one_cell(a: float, b: float, edge: float, cells: int) -> None:
    low, middle, high = sorted((a, b, edge))
    if high / low < 1.01:
        return
    rule = Rule(low, high, cells)
    step = math.log(high / low) / (cells - 1)
    assert abs(math.log(rule.price(rule.cell(middle)) / middle)) <= step * 0.5001 + 1e-9


@given(ladders(), st.one_of(st.none(), prices), st.sampled_from((None, *GRADES, 33)), widths)
@settings(max_examples=150, deadline=None)
def test_the_grade_chart_is_ascii_and_fits(
    rungs: list[Rung], price: float | None, grade: int | None, width: int
) -> None:
    cost = Decimal(str(round(price, 2))) if price else None
    lines = grade_chart(rungs, price=cost, grade=grade, width=width)
    assert len(lines) == len(rungs) + 1
    for line in lines:
        assert len(line) <= width
        assert line.isascii()


@given(ladders(), widths)
@settings(max_examples=150, deadline=None)
def test_a_line_of_the_grade_chart_stands_where_its_band_is(rungs: list[Rung], width: int) -> None:
    from watchlist.page.charts import rule_for

    lines = grade_chart(rungs, price=None, grade=None, width=width)[1:]
    start = 15
    rule = rule_for(rungs, None, width - start)
    for rung, line in zip(rungs, lines, strict=True):
        assert line[start + rule.cell(float(rung.mid))] == "|"
        drawn = [place for place, letter in enumerate(line[start:]) if letter in "[=]|"]
        assert (drawn[0], drawn[-1]) == (rule.cell(float(rung.low)), rule.cell(float(rung.high)))


@given(ladders(), st.one_of(st.none(), prices), st.sampled_from((None, *GRADES, 33)), widths, st.integers(4, 40))
@settings(max_examples=150, deadline=None)
def test_the_price_curve_is_ascii_and_fits(
    rungs: list[Rung], price: float | None, grade: int | None, width: int, height: int
) -> None:
    cost = Decimal(str(round(price, 2))) if price else None
    lines = price_curve(rungs, price=cost, grade=grade, width=width, height=height)
    assert len(lines) <= height
    for line in lines:
        assert len(line) <= width
        assert line.isascii()
    if lines and cost is not None and grade is not None:
        assert sum(line.split("|", 1)[-1].count("X") for line in lines[:-1]) == 1, "the lot is on the paper, once"


@given(ladders())
@settings(max_examples=50, deadline=None)
def test_the_sentence_names_every_grade_of_the_plot(rungs: list[Rung]) -> None:
    from watchlist.core.marks.reasons import figure
    from watchlist.page.wording import grades

    sentence = chart_sentence(rungs, "EUR")
    for rung in rungs:
        assert f"{grades(rung.grade, rung.grade)} {figure(rung.mid)}" in sentence


def test_the_lot_and_its_grade_are_marked() -> None:
    rungs = [
        Rung(30, Decimal(80), Decimal(100), Decimal(120), 3),
        Rung(40, Decimal(150), Decimal(200), Decimal(260), 0),
    ]
    head, fine, better = grade_chart(rungs, price=Decimal(150), grade=30, width=60)
    assert "80" in head
    assert head.endswith("260")
    assert fine.startswith("> VF-30")
    assert "X" in fine
    assert "X" not in better.removeprefix("  XF-40")
    assert " 3 " in fine


def test_nothing_is_drawn_of_nothing() -> None:
    assert grade_chart([], price=None, grade=None, width=80) == []
    assert price_curve([], price=None, grade=None, width=80, height=20) == []
    assert chart_sentence([], "EUR") == ""
