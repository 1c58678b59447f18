"""Plots over time, rows and columns of the lists, questions to sellers: pure text, exact to one cell."""

from __future__ import annotations

from datetime import date, timedelta
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.screens import pieces
from watchlist.core.bench.check import Bounds
from watchlist.page.bench_bars import bound_bar
from watchlist.page.columns import cells
from watchlist.page.drawing import ASCII, DRAWN, Alphabet
from watchlist.page.lists import Column, fit
from watchlist.page.plots import SaleDay, Sold, budget_days, budget_sentence, place, price_over_time, time_sentence
from watchlist.page.questions import letter, questions
from watchlist.page.rows import clip, columns_for, head, short_grades
from watchlist.page.wording import grades

TODAY = date(2026, 11, 25)
prices = st.decimals(1, 9_000, places=2)
sold = st.builds(lambda ago, price: Sold(TODAY - timedelta(days=ago), price), st.integers(0, 4_000), prices)


@settings(max_examples=80, deadline=None)
@given(
    st.lists(sold, min_size=1, max_size=30), st.integers(24, 150), st.integers(5, 30), st.sampled_from((ASCII, DRAWN))
)
def test_every_sale_stands_in_the_cell_of_its_day(sales: list[Sold], width: int, height: int, draw: Alphabet) -> None:
    lines = price_over_time(sales, None, TODAY, width=width, height=height, draw=draw)
    assert len(lines) == height
    assert all(cells(line) <= width for line in lines)
    assert draw is DRAWN or all(line.isascii() for line in lines)
    first, right = min(sale.day for sale in sales), draw.points[0]
    wanted = {place(sale.day, first, TODAY, (width - 10) * right) // right for sale in sales}
    found = {at - 9 for line in lines[:-3] for at, sign in enumerate(line) if sign == draw.sale and at >= 9}
    assert found == wanted


@given(st.dates(), st.dates(), st.dates(), st.integers(2, 200))
def test_a_later_day_is_never_drawn_left_of_an_earlier_one(a: date, b: date, c: date, wide: int) -> None:
    first, middle, last = sorted((a, b, c))
    assert place(first, first, last, wide) <= place(middle, first, last, wide) <= place(last, first, last, wide)


def test_the_sentence_has_the_facts_of_the_plot() -> None:
    sales = [Sold(date(2026, 1, 2), Decimal(300)), Sold(date(2026, 3, 4), Decimal(420))]
    assert time_sentence(sales, TODAY, "EUR") == (
        "2 sales since 2026-01-02, from 300 to 420 EUR; the newest 2026-03-04 at 420."
    )
    assert time_sentence([], TODAY, "EUR") == "No sale is known."


@pytest.mark.parametrize("draw", [ASCII, DRAWN])
def test_the_budget_is_bound_day_by_day(draw: Alphabet) -> None:
    days = [SaleDay("2026-11-27", 2, Decimal(400)), SaleDay("2026-11-28", 1, Decimal(800))]
    *lines, key = budget_days(days, Decimal(1000), width=66, draw=draw)
    assert [line[25:].count(draw.now) + line[25:].count(draw.before) for line in lines] == [13, 39]
    assert lines[1].index(draw.limit) == lines[0].index(draw.limit) == 25 + 33
    assert key.endswith(f"{draw.before} days before  {draw.now} this day  {draw.limit} budget")
    assert budget_sentence(days, Decimal(1000), "EUR") == (
        "Committed in EUR by the end of each sale day, of 1,000: 2026-11-27 400, 2026-11-28 1,200."
    )


@given(st.integers(1, 300))
def test_columns_fill_the_width_and_keep_mark_time_and_title(width: int) -> None:
    columns = columns_for(width)
    if width >= 14:
        assert cells(head(columns, "closing", down=False)) <= width
        assert columns.title >= 1
    names = [name for name, _ in columns.tail]
    if "venue" in names:
        assert {"gap", "grade", "all-in"} <= set(names)
    if "gap" in names:
        assert {"grade", "all-in"} <= set(names)


@given(st.text(), st.integers(4, 60))
def test_a_clipped_title_has_exactly_its_width(text: str, width: int) -> None:
    text = "".join(letter for letter in text if letter.isprintable())
    assert cells(clip(text, width)) == width


@given(st.integers(20, 300))
def test_a_list_fits_its_window(width: int) -> None:
    columns = (Column("coin", 20), Column("grade", 16, rank=1), Column("note", 20, rank=4))
    assert cells(fit(columns, width).row(["5 tor 1893-V", "VF-30 up", "a note"])) <= width


def test_grades_in_nine_cells() -> None:
    found = (short_grades(30, 30), short_grades(20, 35), short_grades(20, 40), short_grades(None, None))
    assert found == ("VF-30", "VF-20 to 35", "VF-20 to 40", "-")


def test_a_details_grade_says_so() -> None:
    assert short_grades(40, 45, details=True) == grades(40, 45, details=True) == "XF details"
    assert (short_grades(20, 45, details=True), grades(20, 45, details=True)) == ("VF details", "VF to XF details")
    assert short_grades(None, None, details=True) == "details"


def test_questions_ask_what_the_lot_leaves_open() -> None:
    row = pieces.lot(1)
    asked = questions(row.lot, row.reading, row.judgement, None)
    assert any("weigh, to a tenth of a gram" in each for each in asked)
    assert any("another scale" in each for each in asked)
    assert asked[-1].startswith("If a third-party grading service does not certify it")
    assert letter(row.lot, asked).startswith("About 5 tor 1893 M, uncleaned, lot 1:\n- ")


@pytest.mark.parametrize("draw", [ASCII, DRAWN])
def test_a_piece_on_its_limits_stands_where_the_ends_of_its_bar_say(draw: Alphabet) -> None:
    bound = Bounds("weight", 24.90, 24.92, 25.08, "under", "by law", "g")
    bar, key = bound_bar(bound, draw)
    left, cells_, right = bar.strip().partition(" ")[0], bar[8:52], bar.split()[-1]
    for value, sign in ((24.90, draw.lot), (24.92, draw.low), (25.08, draw.high)):
        share = (value - float(left)) / (float(right) - float(left))
        assert abs(cells_.index(sign) - share * 43) <= 2.5, "the ends are printed to a hundredth"
    assert key.strip().startswith(f"{draw.lot} this piece")
