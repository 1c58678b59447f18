"""Bands from a small market state; the sums behind them against scipy."""

from __future__ import annotations

import random
import subprocess
import sys
from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal
from itertools import pairwise
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import brentq
from scipy.stats import norm

from tests.market.made import told
from watchlist.core.coins.issue import Issue
from watchlist.core.prices.bandmath import cholesky, mixture_point, place, rising, solve_lower, solve_upper
from watchlist.core.prices.bands import fair_value
from watchlist.core.prices.explain import explain
from watchlist.core.prices.realised import Sale
from watchlist.core.prices.reband import reband
from watchlist.core.prices.record import Band
from watchlist.core.prices.truegrades import IN_USE, Asked, grade_weights, steps_below
from watchlist.market import Fitted, Measure, fit

TODAY = date(2026, 3, 2)


def state() -> Fitted:
    g = random.Random(5)
    issues = [Issue(f"k{n}", "Orvany", "5 tor", 1880 + n, mintage=10_000 * (n + 1)) for n in range(8)]
    sales = []
    for n in range(120):
        grade, who = g.choice(IN_USE[5:26]), g.randrange(7)
        price = 20 * 1.35**who * 1.03**grade * g.lognormvariate(0, 0.2)
        day = TODAY - timedelta(days=g.randrange(1500))
        raw, problem = g.random() < 0.3, g.choice(["", "", "", "cleaned"])
        price *= (0.9 if raw else 1.0) * (0.6 if problem else 1.0)
        sales.append(Sale(n + 1, f"k{who}", grade, price, day, raw, problem))
    return fit(issues, sales, [], Measure(TODAY, "all-in", "EUR", 5))


FITTED = state()
HEADER, ROW, SILENT = FITTED.header, FITTED.rows["k2"], FITTED.rows["k7"]
grades = st.sampled_from(IN_USE)
problems = st.lists(st.sampled_from(["cleaned", "holed", "scratched", "never heard of"]), max_size=3)


def test_the_core_does_not_wake_numpy() -> None:
    code = "import watchlist.core.prices.bands, sys; print('numpy' in sys.modules)"
    assert subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True).stdout == "False\n"


@settings(max_examples=60, deadline=None)
@given(grades, grades, st.booleans(), problems, st.booleans())
def test_low_middle_high_stand_in_order(a: int, b: int, raw: bool, faults: list[str], silent: bool) -> None:
    band = told(HEADER, SILENT if silent else ROW, grade_low=a, grade_high=b, raw=raw, problems=faults)
    assert Decimal(0) < band.low <= band.mid <= band.high
    parts = fair_value(HEADER, ROW, Asked(grade_low=a, grade_high=b, raw=raw, problems=tuple(faults)))
    assert sum(weight for weight, _, _ in parts) == pytest.approx(1)
    assert all(sigma > 0 for _, _, sigma in parts)


@settings(max_examples=60, deadline=None)
@given(grades, grades, st.booleans())
def test_a_better_grade_never_brings_less(a: int, b: int, raw: bool) -> None:
    low, high = sorted((a, b))
    ask = [told(HEADER, ROW, grade_low=g, grade_high=g, raw=raw).mid for g in (low, high)]
    assert ask[0] <= ask[1] + Decimal("0.01") + ask[1] / 2000


def test_a_range_lies_between_its_ends_and_is_wider() -> None:
    low, whole, high = (
        told(HEADER, ROW, grade_low=a, grade_high=b, raw=False) for a, b in ((20, 20), (20, 58), (58, 58))
    )
    assert low.mid < whole.mid < high.mid
    assert whole.ratio > max(low.ratio, high.ratio)


def test_a_problem_and_a_missing_holder_cost_money() -> None:
    sound, cleaned, raw = (
        told(HEADER, ROW, grade_low=45, grade_high=45, **more)
        for more in ({"raw": False}, {"raw": False, "problems": ("cleaned",)}, {"raw": True})
    )
    assert cleaned.mid < sound.mid
    assert raw.mid < sound.mid


def test_band_as_printed() -> None:
    band = Band(Decimal("210"), Decimal("260.5"), Decimal("320"), "EUR", "all-in", 22, date(2026, 2, 1))
    assert band.json() == {
        "low": "210.00",
        "mid": "260.50",
        "high": "320.00",
        "currency": "EUR",
        "kind": "all-in",
        "sales": 22,
        "newest_sale": "2026-02-01",
        "basis": "sales",
    }
    assert band.ratio == pytest.approx(320 / 210)


def test_raw_pieces_may_fall_short_certified_ones_not() -> None:
    assert grade_weights(HEADER, Asked(63, 63, raw=False)) == [(63, 1.0)]
    chances = dict(grade_weights(HEADER, Asked(63, 63, raw=True)))
    assert set(chances) == {63, 62, 61}
    assert sum(chances.values()) == pytest.approx(1, abs=1e-4)
    assert steps_below(60, 1) == 58
    assert steps_below(1, 2) == 1


def test_a_hidden_problem_is_thought_of_on_raw_pieces_only() -> None:
    assert len(fair_value(HEADER, ROW, Asked(grade_low=63, grade_high=63, raw=True))) == 4
    assert len(fair_value(HEADER, ROW, Asked(grade_low=63, grade_high=63, raw=False))) == 1


def sale(number: int, price: float, days: int = 0, grade: float = 45.0, **more: Any) -> Sale:
    return Sale(number, "k7", grade, price, TODAY - timedelta(days=days), raw=False, **more)


def test_one_more_price_moves_and_narrows_the_band() -> None:
    before = told(HEADER, SILENT, grade_low=45, grade_high=45, raw=False)
    row = reband(HEADER, SILENT, sale(900, float(before.mid) * 1.5))
    after = told(HEADER, row, grade_low=45, grade_high=45, raw=False)
    assert before.mid < after.mid < before.mid * Decimal("1.5")
    assert after.ratio < before.ratio
    assert (after.sales, after.newest_sale, after.basis) == (1, TODAY, "sales")


def test_a_price_taken_back_leaves_no_trace() -> None:
    row = reband(HEADER, SILENT, sale(900, 500.0))
    back = reband(HEADER, row, sale(900, 500.0, weight=0.0))
    assert back["n"] == 0
    assert back["newest"] is None
    assert back["curves"]["certified"][1] == pytest.approx(
        reband(HEADER, SILENT, sale(901, 9.0, weight=0.0))["curves"]["certified"][1], abs=1e-3
    )


def test_only_twenty_sales_are_kept_and_the_rest_stay_in_the_prior() -> None:
    row = SILENT
    for number in range(30):
        row = reband(HEADER, row, sale(900 + number, 300.0, days=30 - number))
    assert row["n"] == 30
    assert len(row["sales"]) == 20
    assert float(told(HEADER, row, grade_low=45, grade_high=45, raw=False).mid) == pytest.approx(300, rel=0.1)


def test_a_useless_price_changes_nothing() -> None:
    for bad in (sale(1, 0.0), sale(1, float("nan")), sale(1, 5.0, grade=99)):
        assert reband(HEADER, ROW, bad) == ROW


def test_a_wild_price_has_little_trust() -> None:
    near = float(told(HEADER, ROW, grade_low=45, grade_high=45, raw=False).mid)
    row = reband(HEADER, ROW, replace(sale(900, near * 30), issue="k2"))
    account = explain(HEADER, row, grade=45, raw=False)
    wild = next(one for one in account.sales if one.sale == 900)
    assert wild.trust < 0.1
    assert wild.weight < max(one.weight for one in account.sales)
    assert sum(one.weight for one in account.sales) + account.similar + account.older == pytest.approx(1)


@settings(max_examples=50, deadline=None)
@given(
    st.lists(
        st.tuples(st.floats(0.05, 1), st.floats(-3, 3), st.floats(0.02, 1), st.floats(0.02, 1)), min_size=1, max_size=6
    ),
    st.sampled_from([0.1, 0.5, 0.9]),
)
def test_mixture_points_are_those_of_scipy(parts: list[tuple[float, float, float, float]], share: float) -> None:
    total = sum(part[0] for part in parts)
    parts = [(w / total, m, u, o) for w, m, u, o in parts]

    def miss(x: float) -> Any:
        return sum(w * norm.cdf((x - m) / (o if x > m else u)) for w, m, u, o in parts) - share

    found = mixture_point(parts, share)  # between two far parts many points have this share: any of them will do
    assert found == pytest.approx(brentq(miss, -20, 20), abs=5e-3) or abs(miss(found)) < 1e-4


@given(st.lists(st.floats(-10, 10), min_size=1, max_size=20))
def test_rising_rises_and_keeps_the_mean(values: list[float]) -> None:
    out = rising(values)
    assert all(a <= b + 1e-9 for a, b in pairwise(out))
    assert sum(out) == pytest.approx(sum(values), abs=1e-6)


def test_a_spot_is_flat_outside_the_nodes() -> None:
    assert place([1, 4, 12], 0) == (0, 0.0)
    assert place([1, 4, 12], 99) == (1, 1.0)
    assert place([1, 4, 12], 8) == (1, 0.5)


def test_the_triangle_solves() -> None:
    matrix = [[4.0, 1.0, 0.5], [1.0, 3.0, 0.2], [0.5, 0.2, 2.0]]
    lower = cholesky(matrix)
    x = solve_upper(lower, solve_lower(lower, [1.0, 2.0, 3.0]))
    assert [sum(a * b for a, b in zip(row, x, strict=True)) for row in matrix] == pytest.approx([1.0, 2.0, 3.0])


def test_a_range_of_mint_state_is_mostly_its_foot() -> None:
    bare = dict(grade_weights({**HEADER, "named": {}, "steps": []}, Asked(64, 70, raw=False)))
    assert sum(bare.values()) == pytest.approx(1.0)
    assert bare[64] > 2 * bare[66]
    met = dict(grade_weights({**HEADER, "named": {"66": 200}, "steps": []}, Asked(64, 70, raw=False)))
    assert met[66] > 0.9, "what was sold outweighs the usual"
