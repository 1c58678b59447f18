"""The figures of a guide that no band gives, against scipy's own; rounding, order, editions."""

from __future__ import annotations

import random
from decimal import Decimal
from math import log1p

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from watchlist.core.coins.issue import Issue
from watchlist.core.guide.editions import Change, changes
from watchlist.core.guide.order import ORDERS, ordered
from watchlist.core.guide.record import Column, Entry, Figure
from watchlist.core.guide.rounding import USUAL, rounded, steps
from watchlist.core.guide.statistics import LEAST, SURE, SURER, rarities, rise, share_between
from watchlist.core.typed.words import TypedError


@pytest.mark.parametrize("seed", range(8))
def test_the_interval_of_a_rise_is_where_the_rank_test_of_scipy_no_longer_refuses(seed: int) -> None:
    draw = random.Random(seed)
    early = [draw.gauss(5, 0.3) for _ in range(draw.randint(LEAST, 40))]
    late = [draw.gauss(5.2, 0.3) for _ in range(draw.randint(LEAST, 40))]
    found = rise(early, late)
    assert found is not None
    for end, by in ((log1p(found.low), -1), (log1p(found.high), 1)):
        ps = [
            stats.mannwhitneyu([each - end - by * shift for each in late], early, use_continuity=False).pvalue
            for shift in (-0.05, 0.05)
        ]
        assert ps[0] > 1 - SURE > ps[1] or ps[0] == pytest.approx(1 - SURE, abs=0.03)
    assert found.low <= found.share <= found.high


def test_a_rise_holds_the_truth_nine_times_in_ten() -> None:
    draw = random.Random(4)
    held = 0
    for _ in range(400):
        found = rise([draw.gauss(0, 0.3) for _ in range(9)], [draw.gauss(0.1, 0.3) for _ in range(12)])
        assert found is not None
        held += log1p(found.low) <= 0.1 <= log1p(found.high)
    assert 0.87 <= held / 400 <= 0.95


def test_too_few_sales_give_no_rise() -> None:
    assert rise([1.0] * (LEAST - 1), [2.0] * 30) is None


@pytest.mark.parametrize(("hits", "all"), [(0, 5), (3, 41), (26, 29), (29, 29), (1, 1)])
def test_the_interval_of_a_share_is_scipys(hits: int, all: int) -> None:
    theirs = stats.binomtest(hits, all).proportion_ci(SURER, method="wilson")
    assert share_between(hits, all) == pytest.approx((theirs.low, theirs.high), abs=1e-9)


def test_an_issue_stands_apart_only_where_chance_cannot_explain_it() -> None:
    common, scarce, unclear = (
        rarities({"one": one, "rest": rest})["one"]
        for one, rest in (((26, 29), (60, 300)), ((1, 60), (120, 300)), ((7, 17), (60, 260)))
    )
    assert common.stands_apart
    assert common.common_fine
    assert scarce.stands_apart
    assert not scarce.common_fine
    assert not unclear.stands_apart
    long_lists = rarities({"one": (3_124, 5_159), "rest": (55_000, 100_000)})["one"]
    assert long_lists.low > long_lists.series
    assert not long_lists.stands_apart, "certain, and too little to speak of"
    assert rarities({"one": (2, 3), "none": (0, 0)}) == {}, "there is no rest to stand apart from"


@given(st.decimals(Decimal("0.01"), Decimal(2_000_000), places=2))
def test_a_printed_figure_is_near_and_never_nought(amount: Decimal) -> None:
    printed = rounded(amount, steps(USUAL))
    assert printed > 0
    assert abs(printed - amount) <= max(amount / 8, Decimal("0.5"))
    assert rounded(amount, steps("none")) == amount


@pytest.mark.parametrize(
    ("amount", "printed"),
    [("7.40", "7.50"), ("43", "45"), ("97.4", "95"), ("104", "100"), ("1349", "1350"), ("0.1", "0.5")],
)
def test_rounding_gets_coarser(amount: str, printed: str) -> None:
    assert rounded(Decimal(amount), steps(USUAL)) == Decimal(printed)


def test_a_rounding_that_is_none_is_refused() -> None:
    with pytest.raises(TypedError, match="Rounding"):
        steps("5 under 100")


def test_every_order_takes_issues_without_figures_last() -> None:
    column = Column(40, raw=True)
    bare = Entry(Issue("b", "Farlonde", "5 kron", 1890), {})
    full = Entry(
        Issue("a", "Farlonde", "5 kron", 1891, mintage=90),
        {column: Figure(Decimal(50), Decimal(40), Decimal(60), own=True)},
        rise=rise([1.0] * 6, [2.0] * 6),
        at_or_above={40: 3},
    )
    firsts = {order: ordered((bare, full), order, column)[0].issue.key for order in ORDERS}
    assert firsts == {"year": "b", "mintage": "a", "scarcity": "b", "value": "a", "rise": "a"}


def test_what_moved_came_and_went_since_the_last_edition() -> None:
    last = {"a": {"40 raw": "50", "20 raw": "30"}, "b": {"40 raw": "80"}}
    now = {"a": {"40 raw": "55", "20 raw": "30"}, "c": {"40 raw": "10"}}
    assert list(changes(last, now, ["40 raw", "20 raw", "65 certified"])) == [
        Change("a", "40 raw", "up", Decimal(50), Decimal(55)),
        Change("b", "40 raw", "withdrawn", Decimal(80), None),
        Change("c", "40 raw", "new", None, Decimal(10)),
    ]
