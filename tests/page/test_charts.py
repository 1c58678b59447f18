"""The two plots in either alphabet: within their width, exact to one cell, never without sentence and legend."""

from __future__ import annotations

import math
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from watchlist.page.charts import Rule, Rung, chart_sentence, grade_chart, nearest_rung, price_curve, rule_for
from watchlist.page.columns import cells
from watchlist.page.drawing import ASCII, BLANK, DRAWN, Alphabet, Canvas, alphabet_for

GRADES = (1, 4, 8, 12, 20, 30, 40, 45, 50, 58, 60, 63, 65, 67, 70)
prices = st.floats(0.01, 1e7, allow_nan=False)
widths = st.integers(24, 200)
alphabets = st.sampled_from((ASCII, DRAWN))


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
@settings(max_examples=60, deadline=None)
def test_a_dearer_coin_is_never_drawn_left_of_a_cheaper_one(a: float, b: float, edge: float, wide: int) -> None:
    rule = Rule(min(a, b, edge), max(a, b, edge), wide)
    if a <= b:
        assert rule.cell(a) <= rule.cell(b)
    assert 0 <= rule.cell(a) < wide


@given(prices, prices, prices, st.integers(2, 200))
@settings(max_examples=60, deadline=None)
def test_a_price_is_drawn_within_one_cell(a: float, b: float, edge: float, wide: int) -> None:
    low, middle, high = sorted((a, b, edge))
    if high / low < 1.01:
        return
    rule = Rule(low, high, wide)
    step = math.log(high / low) / (wide - 1)
    assert abs(math.log(rule.price(rule.cell(middle)) / middle)) <= step * 0.5001 + 1e-9


@given(ladders(), st.one_of(st.none(), prices), st.sampled_from((None, *GRADES, 33)), widths, alphabets)
@settings(max_examples=60, deadline=None)
def test_the_grade_chart_fits_and_has_its_legend(
    rungs: list[Rung], price: float | None, grade: int | None, width: int, draw: Alphabet
) -> None:
    cost = Decimal(str(round(price, 2))) if price else None
    lines = grade_chart(rungs, price=cost, grade=grade, width=width, draw=draw)
    assert len(lines) == len(rungs) + 2
    assert all(cells(line) <= width for line in lines)
    assert draw is DRAWN or all(line.isascii() for line in lines)
    assert width < 60 or f"{draw.low} low  {draw.median} median  {draw.high} high" in lines[-1]


@given(ladders(), widths, alphabets)
@settings(max_examples=60, deadline=None)
def test_a_line_of_the_grade_chart_stands_where_its_band_is(rungs: list[Rung], width: int, draw: Alphabet) -> None:
    lines = grade_chart(rungs, price=None, grade=None, width=width, draw=draw)[1:-1]
    start = 15
    rule = rule_for(rungs, None, width - start)
    for rung, line in zip(rungs, lines, strict=True):
        assert line[start + rule.cell(float(rung.mid))] == draw.median
        signs = (draw.low, draw.fill, draw.high, draw.median)
        drawn = [place for place, letter in enumerate(line[start:]) if letter in signs]
        assert (drawn[0], drawn[-1]) == (rule.cell(float(rung.low)), rule.cell(float(rung.high)))


@given(
    ladders(), st.one_of(st.none(), prices), st.sampled_from((None, *GRADES, 33)), widths, st.integers(4, 40), alphabets
)
@settings(max_examples=60, deadline=None)
def test_the_price_curve_fits_and_has_its_legend(
    rungs: list[Rung], price: float | None, grade: int | None, width: int, height: int, draw: Alphabet
) -> None:
    cost = Decimal(str(round(price, 2))) if price else None
    lines = price_curve(rungs, price=cost, grade=grade, width=width, height=height, draw=draw)
    assert len(lines) <= height
    assert all(cells(line) <= width for line in lines)
    assert draw is DRAWN or all(line.isascii() for line in lines)
    if lines and cost is not None and grade is not None:
        canvas = [line.split(draw.up, 1)[-1] for line in lines[:-2]]
        assert sum(line.count(draw.lot) for line in canvas) == 1, "the lot is on the canvas, once"
    assert not lines or width < 60 or f"{draw.line} median" in lines[-1]


@given(prices, prices, widths, st.integers(5, 40), alphabets)
@settings(max_examples=60, deadline=None)
def test_a_curve_between_two_medians_is_straight_on_the_log_scale(
    first: float, last: float, width: int, height: int, draw: Alphabet
) -> None:
    """Without sales nothing stands over the line; the price at each column is worked out anew."""
    ends = [Decimal(str(round(price, 2))) or Decimal("0.01") for price in (first, last)]
    rungs = [Rung(grade, end, end, end, 0) for grade, end in zip((20, 40), ends, strict=True)]
    lines = price_curve(rungs, price=None, grade=None, width=width, height=height, draw=draw)[:-3]
    up = draw.points[1]
    rule = rule_for(rungs, None, len(lines) * up)
    for column in range(width - 10):
        rows = [len(lines) - 1 - at for at, line in enumerate(lines) if line[9:].ljust(width)[column] != " "]
        share = column / (width - 11)
        price = math.exp((1 - share) * math.log(float(ends[0])) + share * math.log(float(ends[1])))
        assert min(abs(row - rule.cell(price) // up) for row in rows) <= 1


@pytest.mark.parametrize(("encoding", "drawn"), [("utf-8", True), ("ascii", False), ("cp1252", False), ("", False)])
def test_the_alphabet_is_one_that_the_encoding_has(encoding: str, drawn: bool) -> None:
    assert alphabet_for(encoding) is (DRAWN if drawn else ASCII)
    if drawn:
        "".join(chr(BLANK + dots) for dots in range(256)).encode(encoding)


@pytest.mark.parametrize("draw", [ASCII, DRAWN])
def test_no_two_signs_of_a_chart_are_one(draw: Alphabet) -> None:
    for together in (
        (draw.low, draw.fill, draw.median, draw.high, draw.lot),
        (draw.edge, draw.line, draw.sale, draw.lot),
        (draw.before, draw.now, draw.limit),
        (*draw.crowd, draw.lot),
        (draw.edge, draw.line, draw.expected, draw.lot),
    ):
        assert len(set(together)) == len(together)
        assert {cells(sign) for sign in together} == {1}


def test_a_dot_stands_in_its_eighth_of_a_cell() -> None:
    """Dots 1 to 8 are bits 0 to 7: left from above 1 2 3 7, right 4 5 6 8 (Unicode Standard, section 21.1)."""
    for x, y, dot in ((0, 3, 1), (0, 2, 2), (0, 1, 3), (0, 0, 7), (1, 3, 4), (1, 2, 5), (1, 1, 6), (1, 0, 8)):
        canvas = Canvas(1, 1, DRAWN)
        canvas.point(x, y, DRAWN.line)
        assert canvas.lines() == [chr(0x2800 + (1 << (dot - 1)))]


@given(ladders())
@settings(max_examples=50, deadline=None)
def test_the_sentence_names_every_grade_of_the_plot(rungs: list[Rung]) -> None:
    from watchlist.core.marks.reasons import figure
    from watchlist.page.wording import grades

    sentence = chart_sentence(rungs, "EUR")
    for rung in rungs:
        assert f"{grades(rung.grade, rung.grade)} {figure(rung.mid)}" in sentence


@pytest.mark.parametrize(("sales", "said"), [(0, "no sales"), (1, "1 sale"), (2, "2 sales")])
def test_the_sentence_counts_the_sales(sales: int, said: str) -> None:
    assert chart_sentence([Rung(30, Decimal(10), Decimal(12), Decimal(15), sales)], "EUR").endswith(
        f"; {said} in these grades."
    )


def test_the_lot_and_its_grade_are_marked() -> None:
    rungs = [
        Rung(30, Decimal(80), Decimal(100), Decimal(120), 3),
        Rung(40, Decimal(150), Decimal(200), Decimal(260), 0),
    ]
    head, fine, better, _ = grade_chart(rungs, price=Decimal(150), grade=30, width=60)
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


def test_the_legend_names_the_lot_only_where_it_is_drawn() -> None:
    steps = [Rung(grade, Decimal(50), Decimal(60), Decimal(70), 1) for grade in (20, 30)]
    for grade, there in ((30, True), (40, False), (None, False)):
        lines = grade_chart(steps, price=Decimal(55), grade=grade, width=60, draw=ASCII)
        assert ("this lot" in lines[-1]) == there
        assert any("X" in line for line in lines[1:-1]) == there


def test_a_lot_of_several_grades_stands_at_the_step_nearest_to_their_middle() -> None:
    steps = [Rung(grade, Decimal(50), Decimal(60), Decimal(70), 1) for grade in (12, 20, 30, 40)]
    assert nearest_rung(steps, 20, 35) == 30
    assert nearest_rung(steps, 40, 40) == 40
    assert nearest_rung(steps, None, None) is None
    assert nearest_rung([], 20, 35) is None
