"""The exact pass against direct multivariate-normal algebra (numpy, scipy); the order steps against scikit-learn."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

import numpy as np
import pytest
from scipy.stats import multivariate_normal
from sklearn.isotonic import IsotonicRegression

from watchlist.core.coins.issue import Issue
from watchlist.core.prices.bandmath import rising
from watchlist.core.prices.realised import GuideRow, Sale
from watchlist.market import columns as effects
from watchlist.market.model import Model
from watchlist.market.prior import Scales
from watchlist.market.rows import GUIDE, gather
from watchlist.market.state import rise

TODAY = date(2026, 3, 2)


def small_model(*, guides: bool) -> Model:
    issues = [
        Issue("a", "Orvany", "5 tor", 1890, mintage=40_000, type="one"),
        Issue("b", "Orvany", "5 tor", 1891, mintage=9_000, type="one"),
        Issue("c", "Orvany", "1 tor", 1891, mintage=700_000, type="two"),
        Issue("d", "Orvany", "1 tor", 1892, mintage=300_000, type="two"),
    ]
    rows = [
        ("a", 12, 40, 10, ""),
        ("a", 45, 90, 400, ""),
        ("b", 30, 150, 30, "cleaned"),
        ("b", 63, 700, 900, ""),
        ("c", 20, 9, 5, ""),
    ]
    sales = [
        Sale(n + 1, key, grade, price, TODAY - timedelta(days=days), raw=False, problem=problem)
        for n, (key, grade, price, days, problem) in enumerate(rows)
    ]
    told = [
        GuideRow("a", 20, 30, 50, 70, TODAY),
        GuideRow("a", 60, 62, 150, 220, TODAY),
        GuideRow("d", 40, 45, 20, 30, TODAY),
    ]
    model = Model(gather(issues, sales, told if guides else [], TODAY, 5), Scales(tu=0.4, su=0.6, tg=0.15))
    model.trust = np.linspace(0.4, 1.2, len(model.y))
    return model


def dense(model: Model, scales: Scales) -> tuple[Any, ...]:
    """Mean and covariance of the observations and of the issues' curves, written out in full."""
    rows, prior = model.rows, model.prior(scales)
    n, k, issues = len(model.y), len(model.evidence.nodes), len(model.evidence.active)
    phi = np.zeros((n, k))
    phi[np.arange(n), rows.node] = 1 - rows.share
    phi[np.arange(n), rows.node + 1] += rows.share
    x = np.zeros((n, len(model.columns.penalty)))
    np.add.at(x, (np.arange(n)[:, None], model.columns.place), model.columns.value)
    wide = effects.over_nodes(model.columns, model.evidence.active, model.z)
    x[:, model.columns.count :] = np.einsum("nk,nkf->nf", phi, wide[rows.issue])
    pick = np.eye(issues)[rows.issue]
    loads = np.einsum("ni,nk->nik", pick, phi).reshape(n, -1)
    same = model.series[:, None] == model.series[None, :]
    curves = np.kron(np.eye(issues), prior.issue) + np.kron(same, prior.series)
    curves += np.kron(np.ones((issues, issues)), np.linalg.inv(prior.market))
    mean = np.tile(np.linalg.solve(prior.market, prior.pull), issues)
    cov = loads @ curves @ loads.T + x @ np.linalg.inv(model.columns.held(scales.pace)) @ x.T
    guide = (rows.kind == GUIDE).astype(float)
    cov += scales.tg**2 * np.outer(guide, guide) * (rows.issue[:, None] == rows.issue[None, :])
    cov += np.diag(model.noise(scales) / (model.trust * rows.given))
    return loads @ mean, cov, mean, curves, loads, x


@pytest.mark.parametrize("guides", [False, True])
def test_curves_and_effects_are_those_of_the_joint_normal(guides: bool) -> None:
    model = small_model(guides=guides)
    sums = model.sums(model.scales)
    solved = model.solve(model.scales, sums)
    at, cov, mean, curves, loads, x = dense(model, model.scales)
    told = np.linalg.solve(cov, model.y - at)
    assert solved.beta == pytest.approx(np.linalg.inv(model.columns.held(model.scales.pace)) @ x.T @ told, abs=1e-5)
    seen = np.concatenate([[1.0, 0.0], -solved.beta])[:, None]
    mine = solved.at_issues(sums, model.prior(), model.series, seen)
    assert mine.ravel() == pytest.approx(mean + curves @ loads.T @ told, abs=1e-4)


def test_the_spread_of_a_curve_is_that_of_the_joint_normal() -> None:
    model = small_model(guides=True)
    post = model.settle(0)
    _, cov, _, curves, loads, _ = dense(model, model.scales)
    whole = curves - curves @ loads.T @ np.linalg.solve(cov, loads @ curves)
    k = len(model.evidence.nodes)
    for number in range(len(model.evidence.active)):
        answer = post.issue_answer[number]
        mine = post.issue_cov[number] + answer @ post.beta_cov @ answer.T
        block = slice(number * k, number * k + k)
        assert mine == pytest.approx(whole[block, block], abs=2e-3)


@pytest.mark.parametrize("guides", [False, True])
def test_likelihood_is_that_of_the_joint_normal(guides: bool) -> None:
    model = small_model(guides=guides)
    for scales in (model.scales, Scales(tu=0.2, tb=0.3, su=0.9, rho=0.2, tg=0.4, pace=0.1, turn=0.3)):
        at, cov, *_ = dense(model, scales)
        expected = multivariate_normal(at, cov).logpdf(model.y) + 0.5 * len(model.y) * np.log(2 * np.pi)
        assert model.likelihood(scales, model.sums(scales)) == pytest.approx(expected, abs=1e-4)


def test_rising_is_isotonic_regression() -> None:
    g = np.random.default_rng(4)
    for size in (1, 2, 5, 12, 40):
        values, weights = g.normal(size=size), g.random(size) + 0.1
        reference = IsotonicRegression().fit(np.arange(size), values, sample_weight=weights).predict(np.arange(size))
        assert rising(list(values), list(weights)) == pytest.approx(list(reference))


def test_rise_is_isotonic_regression_line_by_line() -> None:
    g = np.random.default_rng(5)
    curves, weights = np.cumsum(g.normal(0.1, 0.5, (50, 12)), axis=1), g.random((50, 12)) + 0.05
    reference = [
        IsotonicRegression().fit(range(12), line, sample_weight=weight).predict(range(12))
        for line, weight in zip(curves, weights, strict=True)
    ]
    assert rise(curves, weights) == pytest.approx(np.array(reference))
