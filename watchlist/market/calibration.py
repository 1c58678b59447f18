"""Calibration: predict sales from older ones only, and see how wide the bands must be to hold."""

from __future__ import annotations

from dataclasses import dataclass
from math import sqrt
from statistics import NormalDist

import numpy as np
from numpy.typing import NDArray

from watchlist.core.prices.bandmath import Z90
from watchlist.market import columns as effects
from watchlist.market.model import FREEDOM, Model, Tell, still
from watchlist.market.rows import RAW, Floats, Ints

ISSUES, NEWEST, TARGETS, DEPTH = 1200, 40, 4000, 36
"""At most: issues looked at, sales of each, sales predicted, and observations behind one prediction."""
ONE_BIN, BIN_PULL, WHOLE_PULL, WIDEST = 120, 60.0, 15.0, 1.1
USUAL = (-Z90, 0.0, Z90)
SHARES = (0.1, 0.5, 0.9)


@dataclass(frozen=True, slots=True)
class Checked:
    """Where the 10, 50 and 90 per cent points lie, in spreads, by how much noise outweighs ignorance."""

    ratio: Floats
    """Noise over whole spread at the middle of each bin, rising."""
    points: Floats
    """Bins x 3."""
    count: int

    def at(self, ratio: Floats) -> Floats:
        """The three points at these ratios, on a new last axis."""
        return np.stack([np.interp(ratio, self.ratio, self.points[:, k]) for k in range(3)], axis=-1)


def calibrate(model: Model, tell: Tell = still) -> Checked:
    """Predict later sales of known issues; the standardised misses give the points."""
    z, ratio = predict_later(model, tell)
    parameters = len(model.evidence.nodes)
    return points_of(z, ratio, parameters)


def points_of(z: Floats, ratio: Floats, parameters: int) -> Checked:
    """Shrunken quantiles of the misses, in quartiles of the ratio; few misses share one bin."""
    n = len(z)
    if n == 0:
        return Checked(np.array([0.5]), np.array([USUAL]), 0)
    usual = np.array(USUAL)
    whole = (n * np.quantile(z, SHARES) + WHOLE_PULL * usual) / (n + WHOLE_PULL)
    stretch = min(WIDEST, sqrt((n + parameters) / (n - parameters))) if n > parameters else WIDEST
    edges = np.quantile(ratio, [0.25, 0.5, 0.75]) if n >= ONE_BIN else np.zeros(0)
    which = np.searchsorted(edges, ratio, side="right")
    centres, points = [], []
    for number in range(len(edges) + 1):
        mine = which == number
        count = int(mine.sum())
        if count:
            centres.append(float(np.median(ratio[mine])))
            points.append((count * np.quantile(z[mine], SHARES) + BIN_PULL * whole) / (count + BIN_PULL))
    return Checked(np.array(centres), np.array(points) * np.array([stretch, 1.0, stretch]), n)


def own_prior(model: Model, who: Ints) -> tuple[Floats, Floats]:
    """Mean and covariance of some active issues' curves, mintage in, without their own sales."""
    post = model.post
    before = model.prior()
    eye = np.eye(len(before.issue))
    series = model.series[who]
    ts = np.linalg.inv(eye + before.series @ (post.series_a[series] - post.gain[who]))
    told = post.market + (post.series_b[series] - post.told[who]) @ before.series
    mean = (ts @ told[..., None])[..., 0]
    cov = before.issue + ts @ before.series + ts @ post.market_cov @ ts.swapaxes(1, 2)
    wide = effects.over_nodes(model.columns, model.evidence.active[who], model.z)
    size = model.columns.count
    reach = -post.series_answer[series]
    reach[:, :, size:] += wide
    cov = cov + reach @ post.beta_cov @ reach.swapaxes(1, 2)
    return mean + wide @ post.beta[size:], cov


def predict_later(model: Model, tell: Tell = still) -> tuple[Floats, Floats]:
    """Standardised misses of sales predicted from older sales alone, and the noise ratio of each."""
    rows = model.rows
    order = np.lexsort((rows.step, rows.sale, -rows.age, rows.issue))
    targets = _targets(model, order)
    if not len(targets):
        return np.zeros(0), np.zeros(0)
    first = np.searchsorted(rows.issue[order], rows.issue[order[targets]], side="left")
    back = targets[:, None] - 1 - np.arange(DEPTH)[None, :]
    seen = back >= first[:, None]
    behind = order[np.maximum(back, 0)]
    goal = order[targets]
    tell()
    mean, cov, late = _posteriors(model, goal, behind, seen)
    tell()
    return _misses(model, goal, mean, cov, late)


def _targets(model: Model, order: Ints) -> Ints:
    """Places in `order` of the sales to predict."""
    rows = model.rows
    generator = np.random.default_rng(2)
    count = len(model.evidence.active)
    chosen = np.zeros(count, dtype=bool)
    chosen[generator.permutation(count)[:ISSUES]] = True
    head = (rows.sale[order] >= 0) & (rows.step[order] == 0)
    place = np.flatnonzero(head)
    issue = rows.issue[order[place]]
    last = np.searchsorted(issue, issue, side="right")
    newest = last - np.arange(len(place)) <= max(NEWEST, TARGETS // max(count, 1))
    good = place[newest & chosen[issue]]
    if len(good) > TARGETS:
        good = np.sort(generator.choice(good, TARGETS, replace=False))
    return good


def _posteriors(model: Model, goal: Ints, behind: Ints, seen: NDArray[np.bool_]) -> tuple[Floats, Floats, Floats]:
    """Curve, covariance and mean age of evidence for each target, from what lies behind it."""
    rows, post = model.rows, model.post
    who, back = np.unique(rows.issue[goal], return_inverse=True)
    means, covs = own_prior(model, who)
    mean0, cov0 = means[back], covs[back]
    effect = (post.beta[model.columns.place] * model.columns.value).sum(axis=1)
    y = (model.y - effect)[behind] - _along(mean0, rows.node[behind], rows.share[behind])
    node, share = rows.node[behind], rows.share[behind]
    late = np.maximum(rows.age[behind] - rows.age[goal][:, None], 0.0)
    v = (model.sale_noise()[behind] + model.scales.rho**2 * late) / model.slope[behind] ** 2
    use = np.where(seen, rows.given[behind] * model.chance[behind], 0.0)
    late0 = np.maximum(post.series_age[model.series[rows.issue[goal]]] - rows.age[goal][:, None], 0.0)
    gap, spread = y, _spread(cov0, node, share)
    trust = (FREEDOM + 1) / (FREEDOM + y**2 / (v + spread))
    shift, cov, age = np.zeros_like(mean0), cov0, late0
    for _ in range(2):
        p = use * trust / v
        a, b = _gather(p, node, share, np.stack([y, late - _along(late0, node, share)], axis=-1), mean0.shape[1])
        held = np.linalg.inv(np.eye(mean0.shape[1]) + cov0 @ a)
        cov = held @ cov0
        both = cov @ b
        shift, age = both[:, :, 0], late0 + both[:, :, 1]
        gap, spread = y - _along(shift, node, share), _spread(cov, node, share)
        trust = (FREEDOM + 1) / (FREEDOM + (gap**2 + spread) / v)
    return mean0 + shift, cov, np.maximum(age, 0.0)


def _misses(model: Model, goal: Ints, mean: Floats, cov: Floats, late: Floats) -> tuple[Floats, Floats]:
    """Each target against its prediction; a raw one against the mixture over the steps it may fall short."""
    rows, post = model.rows, model.post
    effect = (post.beta[model.columns.place] * model.columns.value).sum(axis=1)
    steps = np.where(rows.kind[goal] == RAW, 2, 0)
    below, ratio = np.zeros(len(goal)), np.zeros(len(goal))
    normal = NormalDist()
    for step in range(3):
        mine = np.minimum(goal + step, len(rows.y) - 1)
        weight = np.where(rows.kind[goal] == RAW, model.shares[rows.house[goal], step], float(step == 0))
        weight = np.where(step <= steps, weight, 0.0)
        node, share = rows.node[mine][:, None], rows.share[mine][:, None]
        middle = _along(mean, node, share)[:, 0]
        v = _spread(cov, node, share)[:, 0] + model.scales.rho**2 * _along(late, node, share)[:, 0]
        noise = (model.sale_noise() / model.slope**2)[goal]
        z = (model.y[goal] - effect[goal] - middle) / np.sqrt(v + noise)
        if step == 0:
            first, ratio = z, np.sqrt(noise / (v + noise))
        below += weight * np.array([normal.cdf(value) for value in z])
    mixed = np.array([normal.inv_cdf(min(max(value, 1e-7), 1 - 1e-7)) for value in below])
    return np.where(rows.kind[goal] == RAW, mixed, first), ratio


def _along(curves: Floats, node: Ints, share: Floats) -> Floats:
    """Values of each target's curve at its own spots."""
    line = np.arange(len(curves))[:, None]
    out: Floats = (1 - share) * curves[line, node] + share * curves[line, node + 1]
    return out


def _spread(cov: Floats, node: Ints, share: Floats) -> Floats:
    line = np.arange(len(cov))[:, None]
    low, high = cov[line, node, node], cov[line, node + 1, node + 1]
    out: Floats = (1 - share) ** 2 * low + share**2 * high + 2 * share * (1 - share) * cov[line, node, node + 1]
    return out


def _gather(p: Floats, node: Ints, share: Floats, data: Floats, size: int) -> tuple[Floats, Floats]:
    """Phi' P Phi and Phi' P data of every target."""
    count = len(p)
    base = np.arange(count)[:, None] * size + node
    s, corner = share, base * size + node
    places = np.stack([corner, corner + 1, corner + size, corner + size + 1])
    values = np.stack([(1 - s) ** 2 * p, s * (1 - s) * p, s * (1 - s) * p, s * s * p])
    a: Floats = np.bincount(places.ravel(), values.ravel(), count * size * size).astype(np.float64)
    b = np.zeros((count, size, data.shape[2]))
    for k in range(data.shape[2]):
        flat = np.bincount(base.ravel(), ((1 - s) * p * data[:, :, k]).ravel(), count * size)
        flat += np.bincount(base.ravel() + 1, (s * p * data[:, :, k]).ravel(), count * size)
        b[:, :, k] = flat.reshape(count, size)
    return a.reshape(count, size, size), b
