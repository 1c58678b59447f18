"""The whole fit on made markets whose truth is known, and on input nobody should give it."""

from __future__ import annotations

import json
from collections import Counter
from dataclasses import replace
from datetime import date, timedelta
from itertools import pairwise
from math import inf, isfinite, nan
from typing import Any

import numpy as np
import pytest

from tests.market import made
from tests.market.made import Made
from watchlist.core.coins.issue import Issue
from watchlist.core.prices.bands import MarketState, answer, fair_value, series_key
from watchlist.core.prices.explain import explain
from watchlist.core.prices.realised import Sale
from watchlist.core.prices.reband import reband
from watchlist.core.prices.traits import effect_of
from watchlist.core.prices.truegrades import IN_USE, Asked
from watchlist.market import Fitted, Measure, Stopped, fit

CALL = Measure(made.TODAY, "all-in", "EUR", 5.0)
GRADES = (4, 12, 30, 45, 58, 62, 63, 65, 67)


@pytest.fixture(scope="module")
def market() -> Made:
    return made.market(20, issues=200, sales=1000, later=1500)


@pytest.fixture(scope="module")
def fitted(market: Made) -> Fitted:
    return fit(market.issues, market.sales, [], CALL)


def middle(fitted: Fitted, key: str, grade: float, raw: bool = False) -> float:
    band = answer(fitted.header, fitted.rows[key], Asked(grade_low=grade, grade_high=grade, raw=raw))
    assert band is not None
    return float(band.mid)


def test_state_is_plain_json(fitted: Fitted) -> None:
    again = json.loads(json.dumps([fitted.header, fitted.rows]))
    assert again == [fitted.header, fitted.rows]
    assert "NaN" not in json.dumps([fitted.header, fitted.rows])


def test_same_input_gives_the_same_state(market: Made, fitted: Fitted) -> None:
    assert fit(market.issues, market.sales, [], CALL) == fitted


def test_a_curve_may_turn_where_mint_state_begins() -> None:
    """As dear at 60 as at 58, and half as dear again at 62: a straight line from 58 to 62 puts 60 a fifth too high."""
    level = {g: 0.02 * g for g in range(40, 59)} | {60: 1.16, 62: 1.57, 63: 1.7, 64: 1.9}
    issues = [Issue(f"i{n}", "Orvany", "5 tor", 1880 + n) for n in range(30)]
    sales = [
        Sale(n, issues[n % 30].key, float(g), 40 * float(np.exp(level[g])), made.TODAY, raw=False)
        for n, g in enumerate([*range(40, 59), *(60, 62, 63, 64) * 4] * 15)
    ]
    done = fit(issues, sales, [], CALL)
    assert middle(done, "i3", 60) == pytest.approx(40 * np.exp(1.16), rel=0.03)


def test_traits_are_learned_by_series_and_take_their_usual_effect_where_no_sale_names_them() -> None:
    """RD brings e^.6 in one series and nothing in the other; nobody names a date that is gone (usually e^-1)."""
    brown, silver = (Issue(f"{metal}", "Orvany", f"{tor} tor", 1890) for metal, tor in (("a", 1), ("b", 5)))
    sales = [
        replace(
            Sale(n, issue.key, 63.0, 100 * float(np.exp(effect * (n % 3 == 0))), made.TODAY, raw=False),
            traits=("colour:RD",) if n % 3 == 0 else (),
        )
        for issue, effect in ((brown, 0.6), (silver, 0.0))
        for n in range(60)
    ]
    header = fit([brown, silver], sales, [], CALL).header
    effect = {issue.key: effect_of(header, series_key(issue), ("colour:RD",))[0] for issue in (brown, silver)}
    assert effect["a"] == pytest.approx(0.6, abs=0.06)
    assert effect["b"] == pytest.approx(0.0, abs=0.06)
    gone, unsure = effect_of(header, series_key(brown), ("date:gone",))
    assert gone == -1.0
    assert unsure > 0.3
    assert effect_of(header, series_key(brown), ("colour:blue",)) == (0.0, 0.0)


def test_every_issue_has_a_row(market: Made, fitted: Fitted) -> None:
    assert set(fitted.rows) == {issue.key for issue in market.issues}


def test_bands_hold_later_sales(market: Made, fitted: Fitted) -> None:
    inside = []
    for s in market.later:
        problems = (s.problem,) if s.problem else ()
        band = made.told(
            fitted.header, fitted.rows[s.issue], grade_low=s.grade, grade_high=s.grade, raw=s.raw, problems=problems
        )
        inside.append(float(band.low) <= s.price <= float(band.high))
    assert 0.74 <= np.mean(inside) <= 0.86


def test_middle_is_near_the_truth(market: Made, fitted: Fitted) -> None:
    seen = Counter(s.issue for s in market.sales)
    for low, high, most in ((0, 0, 0.16), (1, 2, 0.14), (3, 9, 0.12), (10, 9999, 0.08)):
        gaps = [
            abs(np.log(middle(fitted, i.key, g)) - market.truth(i.key, g))
            for i in market.issues
            for g in GRADES
            if low <= seen[i.key] <= high
        ]
        assert np.median(gaps) < most


def test_no_curve_falls_as_the_grade_rises(market: Made, fitted: Fitted) -> None:
    for issue in market.issues:
        for raw in (False, True):
            values = [middle(fitted, issue.key, grade, raw) for grade in range(1, 71)]
            assert all(a <= b + 0.011 for a, b in pairwise(values))


def test_wild_prices_hardly_move_the_middle(market: Made, fitted: Fitted) -> None:
    spoiled = fit(market.issues, made.spoiled(market.sales), [], CALL)
    moves = [abs(np.log(middle(spoiled, i.key, 45) / middle(fitted, i.key, 45))) for i in market.issues]
    assert np.median(moves) < 0.03
    assert len(spoiled.flagged) > len(fitted.flagged)


def test_one_price_of_two_millions_in_a_series_of_twenties() -> None:
    issues = [Issue(f"k{n}", "Orvany", "10 lind", 1880 + n) for n in range(6)]
    sales = [
        Sale(n + 1, f"k{n % 5}", 30, 20.0 + n % 3, made.TODAY - timedelta(days=20 * n), raw=False) for n in range(30)
    ]
    calm = fit(issues, sales, [], CALL)
    wild = fit(issues, [*sales, Sale(99, "k1", 30, 2_000_000.0, made.TODAY, raw=False)], [], CALL)
    lone = fit(issues, [*sales, Sale(99, "k5", 30, 2_000_000.0, made.TODAY, raw=False)], [], CALL)
    assert middle(wild, "k1", 30) == pytest.approx(middle(calm, "k1", 30), rel=0.25)
    assert middle(lone, "k1", 30) == pytest.approx(middle(calm, "k1", 30), rel=0.1)
    assert [one.sale for one in wild.flagged] == [99]


def test_a_guide_sharpens_issues_without_sales(market: Made) -> None:
    few = market.sales[:150]
    plain = fit(market.issues, few, [], CALL)
    guided = fit(market.issues, few, made.guides(market), CALL)
    silent = [i.key for i in market.issues if i.key not in {s.issue for s in few}]

    def gap(fitted: Fitted) -> Any:
        return np.median([abs(np.log(middle(fitted, key, 45)) - market.truth(key, 45)) for key in silent])

    assert gap(guided) < gap(plain)
    assert guided.rows[silent[0]]["basis"] == "guide"
    assert guided.rows[silent[0]]["n"] == 0


def test_reband_of_a_known_sale_changes_next_to_nothing(market: Made, fitted: Fitted) -> None:
    for key, row in list(fitted.rows.items())[:60]:
        if not row["sales"]:
            continue
        sale = next(s for s in market.sales if s.id == row["sales"][0][0])
        again = reband(fitted.header, row, sale)
        assert again["n"] == row["n"]
        gap = np.abs(np.array(again["curves"]["certified"]) - np.array(row["curves"]["certified"]))
        assert gap[1, :-1].max() < 0.05, key  # the last node lies beyond what is sold
        assert gap.max() < 0.12, key


def test_reband_follows_a_new_fit(market: Made, fitted: Fitted) -> None:
    quiet = next(i for i in market.issues if fitted.rows[i.key]["n"] == 2)
    dear = middle(fitted, quiet.key, 45) * 1.4
    sale = Sale(10**6, quiet.key, 45, dear, made.TODAY, raw=False)
    row = reband(fitted.header, fitted.rows[quiet.key], sale)
    anew = fit(market.issues, [*market.sales, sale], [], CALL, scales=fitted.header["scales"])
    mine = float(made.told(fitted.header, row, grade_low=45, grade_high=45, raw=False).mid)
    assert middle(fitted, quiet.key, 45) < mine
    assert mine == pytest.approx(middle(anew, quiet.key, 45), rel=0.05)


def test_explanation_adds_up(market: Made, fitted: Fitted) -> None:
    key = Counter(s.issue for s in market.sales).most_common(1)[0][0]
    told = explain(fitted.header, fitted.rows[key], grade=45, raw=False)
    assert len(told.sales) == 20
    assert sum(one.weight for one in told.sales) + told.similar + told.older == pytest.approx(1.0)
    assert 0 <= told.similar < 0.5
    assert told.older > 0
    assert all(one.adjusted > 0 for one in told.sales)


def test_metal_keeps_cheap_pieces_off_the_floor() -> None:
    m = made.market(3, issues=150, sales=900, metal=25.0)
    known = fit(m.issues, m.sales, [], CALL, metal={i.key: 25.0 for i in m.issues})
    plain = fit([replace(i, metal="") for i in m.issues], m.sales, [], CALL)

    def gap(fitted: Fitted) -> Any:
        return np.mean([abs(np.log(middle(fitted, i.key, g)) - m.truth(i.key, g)) for i in m.issues for g in GRADES])

    assert gap(known) < gap(plain)
    for issue in m.issues:
        assert middle(known, issue.key, 4) > 25


def test_an_issue_the_fit_never_saw_gets_its_series_and_an_unknown_series_nothing(market: Made, fitted: Fitted) -> None:
    state = MarketState(fitted.header, fitted.rows.get)
    other = replace(market.issues[0], key="new")
    assert state.row(other) is not None
    assert made.told(fitted.header, state.row(other), grade_low=30, grade_high=30, raw=True).basis == "similar"
    assert state.row(replace(other, type="never seen")) is None
    assert answer(fitted.header, None, Asked(grade_low=30, grade_high=30, raw=True)) is None
    assert fair_value(fitted.header, None, Asked(grade_low=30, grade_high=30, raw=True)) == []


def test_the_person_can_stop_it(market: Made) -> None:
    told = []

    def progress(what: str, share: float) -> bool:
        told.append((what, share))
        return len(told) < 3

    with pytest.raises(Stopped):
        fit(market.issues, market.sales, [], CALL, progress=progress)
    assert len(told) == 3
    assert [share for _, share in told] == sorted(share for _, share in told)


def one(number: int = 1, **over: Any) -> Sale:
    base: dict[str, Any] = {"id": number, "issue": "a", "grade": 30, "price": 50.0, "day": made.TODAY, "raw": False}
    return Sale(**base | over)


PAIR = [Issue("a", "Orvany", "5 tor", 1890), Issue("b", "Orvany", "5 tor", 1891)]
ODD = {
    "no sales": [],
    "one sale": [one()],
    "one raw sale": [one(raw=True)],
    "one grade": [one(n, price=40.0 + n) for n in range(30)],
    "all prices equal": [one(n, grade=4 + n) for n in range(40)],
    "all on one day and equal": [one(n) for n in range(50)],
    "two grades": [one(n, grade=(4, 65)[n % 2], price=(5.0, 500.0)[n % 2]) for n in range(20)],
    "huge and tiny": [one(1, price=1e12), one(2, price=1e-6)],
    "unknown problem": [one(n, problem="bitten") for n in range(3)],
    "falling with grade": [one(n, grade=n + 4, price=1000.0 / (n + 1)) for n in range(40)],
}


@pytest.mark.parametrize("name", ODD)
def test_odd_evidence_gives_wide_bands_never_a_crash(name: str) -> None:
    done = fit(PAIR, ODD[name], [], CALL)
    assert "NaN" not in json.dumps([done.header, done.rows])
    for row in done.rows.values():
        for raw in (False, True):
            band = answer(done.header, row, Asked(grade_low=20, grade_high=35, raw=raw, problems=("cleaned",)))
            assert (band is None) == (name in ("no sales", "huge and tiny"))
            assert band is None or (band.low <= band.mid <= band.high and band.ratio < 1000)
            assert all(
                isfinite(v)
                for part in fair_value(done.header, row, Asked(grade_low=4, grade_high=70, raw=raw))
                for v in part
            )
        after = reband(done.header, row, one(77))
        assert after["n"] == row["n"] + 1
        explain(done.header, after, grade=30, raw=True)


@pytest.mark.parametrize(
    ("sale", "word"),
    [
        (one(price=0.0), "above zero"),
        (one(price=-3.0), "above zero"),
        (one(price=nan), "above zero"),
        (one(price=inf), "above zero"),
        (one(day=made.TODAY + timedelta(days=1)), "in the future"),
        (one(day=date(1960, 1, 1)), "older than"),
        (one(grade=0), "between 1 and 70"),
        (one(grade=nan), "between 1 and 70"),
        (one(weight=0.0), "nothing"),
        (one(issue="z"), "not in the catalogue"),
    ],
)
def test_what_cannot_be_used_is_set_aside_with_a_reason(sale: Sale, word: str) -> None:
    done = fit(PAIR, [sale, one(2)], [], CALL)
    assert [(s.sale, word in s.why) for s in done.aside] == [(1, True)]
    assert done.header["counts"]["sales"] == 1


def test_an_empty_catalogue_is_no_crash() -> None:
    done = fit([], [], [], CALL)
    assert done.rows == {}


def test_over_grading_is_learned_by_kind_of_venue() -> None:
    m = made.market(6, issues=80, sales=1600, raw=0.6)
    steps = dict(pairwise(IN_USE))
    sales = [
        replace(s, venue_kind="marketplace", grade=float(steps.get(int(s.grade), s.grade))) if s.raw and s.id % 2 else s
        for s in m.sales
    ]
    short = fit(m.issues, sales, [], CALL).header["short"]
    assert short["marketplace"][0] < short["auction"][0] - 0.1
    assert all(sum(shares) == pytest.approx(1) for shares in short.values())


def test_a_series_that_runs_faster_is_seen_to() -> None:
    m = made.market(21, issues=120, sales=1600, apart=0.12)
    done = fit(m.issues, m.sales, [], CALL)
    told = [explain(done.header, done.rows[f"orv-{s}-{s}"], grade=45, raw=False).drift_five_years for s in range(4)]
    rises = 0.04 + 0.12 * np.random.default_rng(1021).normal(size=4)
    assert np.log(told) == pytest.approx(5 * rises, abs=0.12)
