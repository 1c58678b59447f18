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

CHUNK = 256
"""Issues worked through at a time."""


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
    """One pass up, and down to the series, before the effects are taken off the curves."""

    t: Floats
    ts: Floats
    gain: Floats
    """The precision that each active issue hands up to its series."""
    series_a: Floats
    g: Floats
    market: Floats
    of_series: Floats
    beta: Floats
    beta_cov: Floats
    likelihood: float
    """Log marginal likelihood up to a constant."""

    def at_issues(self, sums: Sums, prior: Prior, series: Ints, take: Floats) -> Floats:
        """Curves of the active issues for some mixtures of the columns (columns x mixtures)."""
        out, above = np.empty((*self.t.shape[:2], take.shape[1])), self.of_series @ take
        for start in range(0, len(out), CHUNK):
            part = slice(start, start + CHUNK)
            out[part] = self.t[part] @ (above[series[part]] + prior.issue @ (sums.b[part] @ take))
        return out


@dataclass(frozen=True, slots=True)
class Posterior:
    """What a pass found. Curves are without the effects; `age` is the mean age of the evidence at each node."""

    beta: Floats
    beta_cov: Floats
    issue: Floats
    """Curve of each active issue (issues x nodes)."""
    issue_cov: Floats
    issue_answer: Floats
    """How each active issue's curve answers to the effects (issues x nodes x effects); left out between two rounds."""
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
    gain = t.swapaxes(1, 2) @ sums.a
    series_a = total_by(gain, series, count)
    series_b, own = _told(sums, t, prior, series, count)
    ts = _inverse(eye + prior.series @ series_a)
    up_a = (ts.swapaxes(1, 2) @ series_a).sum(axis=0) + prior.market
    up_b = (ts.swapaxes(1, 2) @ series_b).sum(axis=0)
    up_b[:, 0] += prior.pull
    g = _inverse(up_a)
    market = g @ up_b
    of_series = ts @ (market + prior.series @ series_b)
    columns = sums.b.shape[2]
    rest = sums.cross - own - series_b.reshape(-1, columns).T @ of_series.reshape(-1, columns)
    beta_precision = rest[2:, 2:] + penalty
    beta_cov = _inverse(beta_precision)
    beta = beta_cov @ rest[2:, 0]
    misfit = prior.constant + rest[0, 0] - float(prior.pull @ market[:, 0]) - float(rest[2:, 0] @ beta)
    sizes = _logdet(t, ts, prior.market, penalty) - _logdet(up_a, beta_precision)
    likelihood = sums.log_precision + 0.5 * (sizes - misfit)
    return Solved(t, ts, gain, series_a, g, market, of_series, beta, beta_cov, likelihood)


def _told(sums: Sums, t: Floats, prior: Prior, series: Ints, count: int) -> tuple[Floats, Floats]:
    """What the issues hand up, T' B by series, and what they keep, B' T S0 B: some issues at a time, so that nothing
    large has to be held."""
    columns = sums.b.shape[2]
    up, own = np.zeros((count, *sums.b.shape[1:])), np.zeros((columns, columns))
    for start in range(0, len(t), CHUNK):
        part = slice(start, start + CHUNK)
        b = sums.b[part]
        up += total_by(t[part].swapaxes(1, 2) @ b, series[part], count)
        own += b.reshape(-1, columns).T @ ((t[part] @ prior.issue) @ b).reshape(-1, columns)
    return up, own


def finish(solved: Solved, sums: Sums, prior: Prior, series: Ints, count: int, *, answers: bool = True) -> Posterior:
    """Take the effects off the curves, make the market curve rise, and add the covariances.

    `answers` False leaves out how the issues answer to the effects, which only the last round is asked for."""
    t, ts, beta = solved.t, solved.ts, solved.beta
    columns = len(beta) + 2
    seen, age = np.concatenate([[1.0, 0.0], -beta]), np.eye(columns)[1]
    free = solved.market @ seen
    climbing = np.array(rising(list(free), list(1.0 / np.diag(solved.g))))
    lift_series = ts @ (climbing - free)
    lift_issue = (t @ lift_series[series][..., None])[..., 0]
    series_cov = ts @ prior.series + ts @ solved.g @ ts.swapaxes(1, 2)
    issue_cov = t @ (prior.issue + series_cov[series] @ t.swapaxes(1, 2))
    mine = solved.at_issues(sums, prior, series, np.stack([seen, age], axis=1))
    told = ((sums.b @ seen)[:, None, :] @ t)[:, 0]
    return Posterior(
        beta,
        solved.beta_cov,
        mine[:, :, 0] + lift_issue,
        issue_cov,
        solved.at_issues(sums, prior, series, np.eye(columns)[:, 2:]) if answers else np.zeros((0, 0, 0)),
        mine[:, :, 1],
        solved.of_series @ seen + lift_series,
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
