"""The exact pass: all curves and all effects at once, as one Gaussian solved level by level.

Issues hang under series, series under the market. Each level hands its evidence up as (A, B), precision and
precision times data, and takes the level above back down; the effects are integrated out exactly.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from watchlist.core.prices.bandmath import rising
from watchlist.market.prior import Prior
from watchlist.market.rows import Floats, Ints


@dataclass(frozen=True, slots=True)
class Sums:
    """The observations, summed. Column 0 is y, column 1 the age, the rest are the effects."""

    a: Floats
    """Phi' P Phi of each active issue."""
    b: Floats
    """Phi' P [y, age, effects]."""
    cross: Floats
    """[y, age, effects]' P [y, age, effects]."""
    log_precision: float
    """Half the sum of the logs of the precisions, guide corrections included."""


@dataclass(frozen=True, slots=True)
class Solved:
    """One pass, up and down, before the effects are taken off the curves."""

    t: Floats
    ts: Floats
    gain: Floats
    """What each active issue hands up to its series: precision, and precision times the columns."""
    told: Floats
    series_a: Floats
    series_b: Floats
    g: Floats
    market: Floats
    of_series: Floats
    of_issue: Floats
    beta: Floats
    beta_cov: Floats
    likelihood: float
    """Log marginal likelihood up to a constant."""


@dataclass(frozen=True, slots=True)
class Posterior:
    """What a pass found. Curves are without the effects; `age` is the mean age of the evidence at each node."""

    beta: Floats
    beta_cov: Floats
    issue: Floats
    """Curve of each active issue (issues x nodes)."""
    issue_cov: Floats
    issue_answer: Floats
    """How each active issue's curve answers to the effects (issues x nodes x effects)."""
    issue_age: Floats
    series: Floats
    series_cov: Floats
    series_answer: Floats
    series_age: Floats
    market: Floats
    market_cov: Floats
    gain: Floats
    told: Floats
    """What each active issue tells its series, effects taken off (precision times curve)."""
    series_a: Floats
    series_b: Floats
    likelihood: float


def total_by(values: Floats, group: Ints, count: int) -> Floats:
    """Sums over groups that lie in order."""
    out = np.zeros((count, *values.shape[1:]))
    if len(group):
        starts = np.flatnonzero(np.r_[True, group[1:] != group[:-1]])
        out[group[starts]] = np.add.reduceat(values, starts, axis=0)
    return out


def solve(sums: Sums, prior: Prior, penalty: Floats, series: Ints, count: int) -> Solved:
    """One pass. `series` is the series of each active issue, in order; `count` how many series there are."""
    eye = np.eye(len(prior.issue))
    t = _inverse(eye + prior.issue @ sums.a)
    turned = t.swapaxes(1, 2)
    gain, told = turned @ sums.a, turned @ sums.b
    series_a, series_b = total_by(gain, series, count), total_by(told, series, count)
    ts = _inverse(eye + prior.series @ series_a)
    up_a = (ts.swapaxes(1, 2) @ series_a).sum(axis=0) + prior.market
    up_b = (ts.swapaxes(1, 2) @ series_b).sum(axis=0)
    up_b[:, 0] += prior.pull
    g = _inverse(up_a)
    market = g @ up_b
    of_series = ts @ (market + prior.series @ series_b)
    of_issue = t @ (of_series[series] + prior.issue @ sums.b)
    columns = sums.b.shape[2]
    rest = sums.cross - sums.b.reshape(-1, columns).T @ of_issue.reshape(-1, columns)
    beta_precision = rest[2:, 2:] + penalty
    beta_cov = _inverse(beta_precision)
    beta = beta_cov @ rest[2:, 0]
    misfit = prior.constant + rest[0, 0] - float(prior.pull @ market[:, 0]) - float(rest[2:, 0] @ beta)
    sizes = _logdet(t, ts, prior.market, penalty) - _logdet(up_a, beta_precision)
    likelihood = sums.log_precision + 0.5 * (sizes - misfit)
    return Solved(t, ts, gain, told, series_a, series_b, g, market, of_series, of_issue, beta, beta_cov, likelihood)


def finish(solved: Solved, prior: Prior, series: Ints, count: int) -> Posterior:
    """Take the effects off the curves, make the market curve rise, and add the covariances."""
    t, ts, beta = solved.t, solved.ts, solved.beta
    free = solved.market[:, 0] - solved.market[:, 2:] @ beta
    climbing = np.array(rising(list(free), list(1.0 / np.diag(solved.g))))
    lift_series = ts @ (climbing - free)
    lift_issue = (t @ lift_series[series][..., None])[..., 0]
    series_cov = ts @ prior.series + ts @ solved.g @ ts.swapaxes(1, 2)
    issue_cov = t @ (prior.issue + series_cov[series] @ t.swapaxes(1, 2))
    told = solved.told[:, :, 0] - solved.told[:, :, 2:] @ beta
    return Posterior(
        beta,
        solved.beta_cov,
        solved.of_issue[:, :, 0] - solved.of_issue[:, :, 2:] @ beta + lift_issue,
        issue_cov,
        solved.of_issue[:, :, 2:],
        solved.of_issue[:, :, 1],
        solved.of_series[:, :, 0] - solved.of_series[:, :, 2:] @ beta + lift_series,
        series_cov,
        solved.of_series[:, :, 2:],
        solved.of_series[:, :, 1],
        climbing,
        solved.g,
        solved.gain,
        told,
        solved.series_a,
        total_by(told, series, count),
        solved.likelihood,
    )


def _inverse(matrix: Floats) -> Floats:
    return np.asarray(np.linalg.inv(matrix), dtype=np.float64)


def _logdet(*matrices: Floats) -> float:
    return sum(float(np.sum(np.linalg.slogdet(matrix)[1])) for matrix in matrices)
