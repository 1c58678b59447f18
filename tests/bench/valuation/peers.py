"""The peers our model is measured against. Each takes two tables and gives 10, 50 and 90 per cent points of log price.

All get the same facts: grade, age, class, problem, series, issue, mintage; boosting and the forest also get the issue's
mean residual without the row itself, which helps them much.
"""

from __future__ import annotations

from typing import Any

import numpy as np
from scipy.linalg import cho_factor, cho_solve, solve_triangular
from scipy.optimize import minimize
from sklearn.ensemble import HistGradientBoostingRegressor, RandomForestRegressor
from sklearn.linear_model import QuantileRegressor

from watchlist.market.rows import Floats, Ints

SHARES = (0.1, 0.5, 0.9)
Z = 1.2815515655446004


class Table:
    """Sales as columns."""

    def __init__(self, *columns: Any) -> None:
        """Log price, grade, age, raw, problem, issue, series and log mintage of each sale."""
        y, grade, age, raw, problem, issue, series, mintage = columns
        self.y, self.grade, self.age, self.mintage = (np.asarray(a, float) for a in (y, grade, age, mintage))
        self.raw, self.problem, self.issue, self.series = (np.asarray(a, int) for a in (raw, problem, issue, series))

    def __len__(self) -> int:
        return len(self.y)

    def some(self, keep: Any) -> Table:
        return Table(
            *(getattr(self, n)[keep] for n in ("y", "grade", "age", "raw", "problem", "issue", "series", "mintage"))
        )


def knots(train: Table) -> Floats:
    distinct = np.unique(train.grade)
    return distinct if len(distinct) <= 12 else np.unique(np.quantile(train.grade, np.linspace(0, 1, 9)))


def hats(x: Floats, at: Floats) -> Floats:
    return np.stack([np.interp(x, at, row) for row in np.eye(len(at))], axis=1)


def one_hot(code: Ints, count: int) -> Floats:
    return np.eye(count)[np.clip(code, 0, count - 1)]


def basic(train: Table, t: Table) -> Floats:
    """Grade hats, age, class, problems, series, mintage: what a linear model works on."""
    parts = [
        hats(t.grade, knots(train)),
        t.age[:, None],
        t.raw[:, None],
        one_hot(t.problem + 1, train.problem.max() + 2)[:, 1:],
        one_hot(t.series, train.series.max() + 1),
        t.mintage[:, None],
    ]
    return np.concatenate(parts, axis=1)


def encoded(train: Table, test: Table) -> tuple[Floats, Floats]:
    """The issue's mean residual, for training rows without themselves."""
    x = basic(train, train)
    beta = np.linalg.solve(x.T @ x + 0.1 * np.eye(x.shape[1]), x.T @ train.y)
    r = train.y - x @ beta
    size = max(train.issue.max(), test.issue.max()) + 1
    total, count = np.bincount(train.issue, r, size), np.bincount(train.issue, minlength=size)
    inside = (total[train.issue] - r) / (count[train.issue] - 1 + 1.0)
    outside = total[test.issue] / (count[test.issue] + 1.0)
    return np.stack([inside, count[train.issue] - 1], 1), np.stack([outside, count[test.issue]], 1)


def features(train: Table, test: Table) -> Any:
    def plain(t: Table) -> Floats:
        return np.stack([t.grade, t.age, t.raw, t.problem, t.series, t.mintage], axis=1)

    a, b = encoded(train, test)
    return np.concatenate([plain(train), a], 1), np.concatenate([plain(test), b], 1)


def boosting(train: Table, test: Table) -> Any:
    a, b = features(train, test)
    out = []
    for share in SHARES:
        rule = HistGradientBoostingRegressor(
            loss="quantile",
            quantile=share,
            max_iter=200,
            learning_rate=0.05,
            max_leaf_nodes=12,
            min_samples_leaf=min(20, max(len(train) // 20, 3)),
            random_state=0,
        )
        out.append(rule.fit(a, train.y).predict(b))
    return np.sort(np.stack(out, 1), axis=1)


def forest(train: Table, test: Table) -> Any:
    """Quantile regression forest (Meinshausen 2006): leaf mates weighted."""
    a, b = features(train, test)
    rule = RandomForestRegressor(200, min_samples_leaf=3, max_features=0.6, random_state=0, n_jobs=1).fit(a, train.y)
    inside, outside = rule.apply(a), rule.apply(b)
    order = np.argsort(train.y)
    out = np.zeros((len(test), 3))
    sizes = [np.bincount(inside[:, k]) for k in range(inside.shape[1])]
    for i, leaves in enumerate(outside):
        weight = np.zeros(len(train))
        for k, leaf in enumerate(leaves):
            weight += (inside[:, k] == leaf) / sizes[k][leaf]
        total = np.cumsum(weight[order])
        out[i] = train.y[order][np.minimum(np.searchsorted(total, np.array(SHARES) * total[-1]), len(train) - 1)]
    return out


def linear(train: Table, test: Table) -> Floats:
    a, b = basic(train, train), basic(train, test)
    ea, eb = encoded(train, test)
    a, b = np.concatenate([a, ea[:, :1]], 1), np.concatenate([b, eb[:, :1]], 1)
    keep = slice(None) if len(train) <= 4000 else np.random.default_rng(0).choice(len(train), 4000, replace=False)
    out = [
        QuantileRegressor(quantile=s, alpha=1e-4, solver="highs").fit(a[keep], train.y[keep]).predict(b) for s in SHARES
    ]
    return np.sort(np.stack(out, 1), axis=1)


def cells(train: Table, test: Table) -> Any:
    """Percentiles of the issue's own sales in this part of the scale; else of the series."""
    edges = np.quantile(train.grade, [0.2, 0.4, 0.6, 0.8])
    here, there = np.searchsorted(edges, train.grade), np.searchsorted(edges, test.grade)
    out = np.zeros((len(test), 3))
    for i in range(len(test)):
        for same in (
            (train.issue == test.issue[i]) & (here == there[i]),
            train.issue == test.issue[i],
            (train.series == test.series[i]) & (here == there[i]),
            np.ones(len(train), bool),
        ):
            if same.sum() >= 3:
                break
        out[i] = np.quantile(train.y[same], SHARES)
    return out


def _gaussian(train: Table, test: Table, parts: Any, start: Any) -> Any:
    """A Gaussian with a covariance in parts; log spreads by maximum likelihood on at most 600 rows."""
    if len(train) > 2500:
        train = train.some(np.sort(np.argsort(train.age)[:2500]))
    middle, scale = train.y.mean(), train.y.std()

    def cov(p: Any, a: Any, b: Any, base: Any) -> Floats:
        return sum(np.exp(2 * w) * k for w, k in zip(p, parts(base, a, b), strict=False))

    def unlikely(p: Any, t: Table, ks: Any) -> float:
        c = (
            sum(np.exp(2 * w) * k for w, k in zip(p, ks, strict=False))
            + np.exp(2 * p[-1]) * np.eye(len(t))
            + 1e-6 * np.eye(len(t))
        )
        try:
            factor = cho_factor(c, lower=True)
        except np.linalg.LinAlgError:
            return 1e9
        y = (t.y - middle) / scale
        return 0.5 * y @ cho_solve(factor, y) + np.log(np.diag(factor[0])).sum() + 0.02 * p @ p

    part = train if len(train) <= 600 else train.some(np.random.default_rng(0).choice(len(train), 600, replace=False))
    ks = parts(train, part, part)
    best = minimize(
        unlikely, start, (part, ks), method="L-BFGS-B", bounds=[(-5, 3)] * len(start), options={"maxiter": 40}
    ).x
    c = cov(best, train, train, train) + np.exp(2 * best[-1]) * np.eye(len(train)) + 1e-6 * np.eye(len(train))
    factor = cho_factor(c, lower=True)
    side = cov(best, test, train, train)
    mean = side @ cho_solve(factor, (train.y - middle) / scale)
    own = np.concatenate(
        [
            np.diag(cov(best, test.some(slice(i, i + 500)), test.some(slice(i, i + 500)), train))
            for i in range(0, len(test), 500)
        ]
    )
    lean = solve_triangular(factor[0], side.T, lower=True)
    sd = np.sqrt(np.maximum(own - (lean**2).sum(0), 1e-8) + np.exp(2 * best[-1]))
    return middle + scale * (mean[:, None] + sd[:, None] * np.array([-Z, 0, Z]))


def mixed(train: Table, test: Table) -> Floats:
    """Linear mixed model (Laird and Ware 1982): fixed effects; random level and slope by series and issue."""

    def parts(base: Any, a: Any, b: Any) -> Any:
        fa, fb = basic(base, a), basic(base, b)
        sa, sb = (a.grade - base.grade.mean()) / base.grade.std(), (b.grade - base.grade.mean()) / base.grade.std()
        fa, fb = fa - basic(base, base).mean(0), fb - basic(base, base).mean(0)
        issue, series = a.issue[:, None] == b.issue[None, :], a.series[:, None] == b.series[None, :]
        slope = np.outer(sa, sb)
        return [fa @ fb.T, issue, issue * slope, series * slope]

    return _gaussian(train, test, parts, np.array([0.0, -1, -2, -2, -1]))


def process(train: Table, test: Table) -> Floats:
    """Gaussian process: smooth in grade, age and mintage, shared by all, by series and by issue."""

    def parts(base: Any, a: Any, b: Any) -> Any:
        def near(x: Floats, y: Floats, spread: Floats, length: float) -> Floats:
            return np.exp(-0.5 * ((x[:, None] - y[None, :]) / (spread.std() + 1e-9) / length) ** 2)

        grade = near(a.grade, b.grade, base.grade, 0.5)
        long = near(a.grade, b.grade, base.grade, 2.0)
        issue, series = a.issue[:, None] == b.issue[None, :], a.series[:, None] == b.series[None, :]
        return [
            grade,
            long,
            series * long,
            series * grade,
            issue,
            issue * grade,
            near(a.age, b.age, base.age, 1.0) if base.age.std() else np.zeros(issue.shape),
            near(a.mintage, b.mintage, base.mintage, 1.0) if base.mintage.std() else np.zeros(issue.shape),
            np.outer(a.raw, b.raw),
            (a.problem[:, None] == b.problem[None, :]) * (a.problem >= 0)[:, None],
        ]

    return _gaussian(train, test, parts, np.array([0.0, 0, -1, -1, -1, -2, -2, 0, -1, -1, -1]))


PEERS = {"boosting": boosting, "forest": forest, "QuantReg": linear, "mixed": mixed, "GP": process, "cells": cells}
