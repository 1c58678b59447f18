"""The market state: one header and one row an issue, plain JSON, read by `core/prices/bands.py` without numpy."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from watchlist.core.prices.bands import APPEAL, VERSION
from watchlist.core.prices.realised import Sale
from watchlist.market import columns as effects
from watchlist.market.calibration import Checked
from watchlist.market.exact import CHUNK
from watchlist.market.kept import KEEP, kept, prior_of_newest, sales_by_issue
from watchlist.market.link import slope_of
from watchlist.market.model import Model, Tell, still
from watchlist.market.rows import CERTIFIED, GUIDE, PROBLEMS, RAW, SHORT, Floats, Ints, Unused

SIDES = {"certified": CERTIFIED, "raw": RAW}
NORMAL_MAD = 0.6745
"""Median absolute deviation of a normal curve of spread 1."""
ODD_PULL = 60.0
"""How many sales the usual spread of pieces with a problem counts for."""
WILD = float(np.log(8.0))


def header(model: Model, checked: Checked, share: float) -> dict[str, Any]:
    """What all issues share."""
    evidence, post = model.evidence, model.post
    drift = [0.0, *post.beta[: model.columns.drift]]
    at = model.columns.drift
    return {
        "version": VERSION,
        "today": evidence.today.isoformat(),
        "nodes": [float(node) for node in evidence.nodes],
        "scales": model.scales.json() | {"metal": share},
        "noise": dict(zip(("certified", "raw", "guide"), _round(model.sigma), strict=True)),
        "swing": _round(model.swing),
        "drift": {"ages": _round(model.columns.ages), "values": _round(np.array(drift))},
        "raw": round(float(post.beta[at]), 5),
        "problems": _problems(model),
        "appeal": [APPEAL[0], _odd(model)],
        "traits": model.columns.moves.learned(model.post),
        "short": _shares(model),
        "steps": list(evidence.steps),
        "named": _named(evidence.sales),
        "checked": {"ratio": _round(checked.ratio), "points": _round(checked.points), "sales": checked.count},
        "series": _with_traits(model, _series_rows(model, checked)),
        "counts": {"issues": len(evidence.issues), "sales": len(evidence.sales), "aside": len(evidence.aside)},
    }


def _odd(model: Model) -> float:
    """How much more pieces with a problem differ in value than others do: by how much wider their prices lie, pulled to
    the usual figure where there are few. Robust: a misplaced decimal point counts as any far miss."""
    rows = model.rows
    sale = (rows.sale >= 0) & (rows.step == 0)
    gap = np.abs(model.missed(model.post)[0])
    faulty, sound = gap[sale & (rows.problem >= 0)], gap[sale & (rows.problem < 0)]
    if not len(faulty) or not len(sound):
        return APPEAL[1]
    more = max((np.median(faulty) ** 2 - np.median(sound) ** 2) / NORMAL_MAD**2, 0.0)
    n = len(faulty)
    return round(float(np.sqrt((n * more + ODD_PULL * APPEAL[1] ** 2) / (n + ODD_PULL))), 4)


def _with_traits(model: Model, rows: dict[str, dict[str, Any]]) -> dict[str, dict[str, Any]]:
    """The rows of the series with what traits do in each, and what is left open where nothing is said."""
    told = model.columns.moves.by_series(model.post, model.evidence)
    return {name: row | told.get(name, {}) for name, row in rows.items()}


def _named(sales: Sequence[Sale]) -> dict[str, int]:
    """How often a service named each number of the scale: what a range of grades most likely means."""
    counted = Counter(str(int(sale.grade)) for sale in sales if not sale.raw and sale.grade == int(sale.grade))
    return dict(sorted(counted.items()))


def issue_rows(model: Model, checked: Checked, tell: Tell = still) -> dict[str, dict[str, Any]]:
    """One row for every issue of the catalogue."""
    evidence = model.evidence
    silent = np.setdiff1d(np.arange(len(evidence.issues)), evidence.active)
    out = dict(zip((evidence.issues[int(i)].key for i in silent), _silent(model, checked, silent), strict=True))
    out.update(zip((evidence.issues[int(i)].key for i in evidence.active), _spoken(model, checked, tell), strict=True))
    return out


def flagged(model: Model) -> list[Unused]:
    """Sales some ten times off what the model makes of them."""
    post, rows, sales = model.post, model.rows, model.evidence.sales
    if not len(rows.y):
        return []
    gap, _ = model.missed(post)
    wild = np.flatnonzero((np.abs(gap) > WILD) & (rows.sale >= 0) & (rows.step == 0))
    found = [(sales[rows.sale[i]], np.exp(gap[i])) for i in wild]
    words = (f"{times:,.0f} times" if times > 1 else f"one {1 / times:,.0f}th of" for _, times in found)
    return [Unused(sale.id, sale.issue, f"{far} its band") for (sale, _), far in zip(found, words, strict=True)]


def _spoken(model: Model, checked: Checked, tell: Tell) -> list[dict[str, Any]]:
    """Rows of the issues that have sales or guide rows."""
    post, evidence = model.post, model.evidence
    if not len(evidence.active):
        return []
    wide = effects.over_nodes(model.columns, evidence.active, model.z)
    mean = post.issue + wide @ post.beta[model.columns.count :]
    metal = evidence.metal[evidence.active]
    sides = _sides(
        model, checked, Curves(mean, _diagonal(post.issue_cov), post.issue_answer, wide, post.issue_age, metal)
    )
    tell()
    before, cov, similar = prior_of_newest(model)
    tell()
    triangle = np.triu_indices(len(evidence.nodes))
    packed = cov[:, triangle[0], triangle[1]]
    sales = sales_by_issue(model)
    guided = set(model.rows.issue[model.rows.kind == GUIDE].tolist())
    out = []
    priors = zip(before.round(5).tolist(), packed.round(7).tolist(), similar.round(4).tolist(), strict=True)
    for number, (side, prior) in enumerate(zip(sides, priors, strict=True)):
        if number % CHUNK == 0:
            tell()
        mine = sales.get(number, [])
        row = side | {
            "n": len(mine),
            "newest": mine[0].day.isoformat() if mine else None,
            "basis": "sales" if mine else "guide" if number in guided else "similar",
            "series": evidence.series[model.series[number]],
            "prior": dict(zip(("mean", "cov", "similar"), prior, strict=True)),
            "sales": [kept(sale) for sale in mine[:KEEP]],
        }
        out.append(row)
    return out


def _silent(model: Model, checked: Checked, who: Ints) -> list[dict[str, Any]]:
    """Rows of the issues without any observation: their series and their mintage speak for them."""
    post, evidence = model.post, model.evidence
    if not len(who):
        return []
    series = evidence.series_of[who]
    wide = effects.over_nodes(model.columns, who, model.z)
    mean = post.series[series] + wide @ post.beta[model.columns.count :]
    spread = _diagonal(post.series_cov)[series] + np.diag(model.prior().issue)
    answers, age = post.series_answer[series], post.series_age[series]
    sides = _sides(model, checked, Curves(mean, spread, answers, wide, age, evidence.metal[who]))
    return [
        side
        | {"n": 0, "newest": None, "basis": "similar", "series": evidence.series[number], "mean": line, "sales": []}
        for side, number, line in zip(sides, series, mean.round(5).tolist(), strict=True)
    ]


def _series_rows(model: Model, checked: Checked) -> dict[str, dict[str, Any]]:
    """What an issue of each series brings of which nothing else is known; also the prior of its silent issues."""
    post, evidence = model.post, model.evidence
    count = len(evidence.series)
    if not count:
        return {}
    wide = np.zeros((count, len(evidence.nodes), len(model.columns.penalty) - model.columns.count))
    whole = post.series_cov + model.prior().issue
    spread, metal = _diagonal(whole), _series_metal(model)
    sides = _sides(model, checked, Curves(post.series, spread, post.series_answer, wide, post.series_age, metal))
    triangle = np.triu_indices(len(evidence.nodes))
    packed = whole[:, triangle[0], triangle[1]].round(7).tolist()
    pace = np.zeros(count)
    pace[model.columns.paced] = post.beta[model.columns.count - len(model.columns.paced) : model.columns.count]
    common: dict[str, Any] = {"n": 0, "newest": None, "basis": "similar", "sales": []}
    lines = zip(
        evidence.series,
        sides,
        post.series.round(5).tolist(),
        packed,
        np.maximum(post.series_age, 0.0).round(2).tolist(),
        pace.round(5).tolist(),
        strict=True,
    )
    return {
        name: side | common | {"series": name, "prior": {"mean": mean, "cov": cov}, "age": age, "pace": own}
        for name, side, mean, cov, age, own in lines
    }


@dataclass(frozen=True, slots=True)
class Curves:
    """What is known of many issues, certified, before it is told in prices: a line each, a column a grade node."""

    mean: Floats
    spread: Floats
    """Variance at each node."""
    answers: Floats
    """How far each effect moves the curve: issues x nodes x effects."""
    wide: Floats
    """The columns that act on whole issues."""
    age: Floats
    """Years of the evidence, at each node."""
    metal: Floats
    """Metal value, home currency; 0 where it does not count."""


def _sides(model: Model, checked: Checked, of: Curves) -> list[dict[str, Any]]:
    """Curves and spreads, certified and raw, of many issues."""
    post, metal = model.post, of.metal
    old = model.scales.rho**2 * np.maximum(of.age, 0.0)
    unsure, more = _unsure(model, of.answers, of.wide)
    curves: dict[str, list[list[list[float]]]] = {}
    deviations: dict[str, list[list[float]]] = {}
    for side, kind in SIDES.items():
        raw = kind == RAW
        middle = of.mean + post.beta[model.columns.drift] if raw else of.mean
        v = np.maximum(of.spread, 1e-8) + (unsure + more if raw else unsure) + old
        slope = slope_of(middle, metal[:, None])
        seen = np.where(metal[:, None] > 0, np.log(metal[:, None] + np.exp(np.minimum(middle, 40.0))), middle)
        curves[side] = banded(seen, slope**2 * v, model.sigma[kind] ** 2 * model.swing, checked).round(5).tolist()
        deviations[side] = np.sqrt(v).round(5).tolist()
    return [
        {"curves": {side: curves[side][i] for side in SIDES}, "sd": {side: deviations[side][i] for side in SIDES}}
        | ({"metal": round(float(metal[i]), 4)} if metal[i] else {})
        for i in range(len(of.mean))
    ]


def _unsure(model: Model, answers: Floats, wide: Floats) -> tuple[Floats, Floats]:
    """What the effects leave unsure of each curve today, certified; and how much more of it when raw."""
    post = model.post
    cov, raw, size = post.beta_cov, model.columns.drift, model.columns.count
    unsure, more = np.empty(answers.shape[:2]), np.empty(answers.shape[:2])
    for start in range(0, len(answers), CHUNK):
        part = slice(start, start + CHUNK)
        reach = -answers[part]
        reach[:, :, size:] += wide[part]
        turned = reach @ cov
        unsure[part] = (turned * reach).sum(axis=2)
        more[part] = 2 * turned[:, :, raw] + cov[raw, raw]
    return unsure, more


def _series_metal(model: Model) -> Floats:
    """The middle metal value of each series, for issues the fit does not know."""
    evidence = model.evidence
    groups = [evidence.metal[evidence.series_of == number] for number in range(len(evidence.series))]
    return np.array([float(np.median(group)) if len(group) else 0.0 for group in groups])


def banded(mean: Floats, v: Floats, noise: Floats, checked: Checked) -> Floats:
    """The 10, 50 and 90 per cent curves (issues x 3 x nodes), none of which falls as the grade rises."""
    whole = np.sqrt(v + noise)
    points = checked.at(np.sqrt(noise) / whole)
    weights = 1.0 / v
    curves = rise(mean, weights)[:, :, None] + whole[:, :, None] * points
    flat = rise(curves.swapaxes(1, 2).reshape(-1, mean.shape[1]), np.repeat(weights, 3, axis=0))
    return flat.reshape(len(mean), 3, mean.shape[1])


def rise(curves: Floats, weights: Floats) -> Floats:
    """Each line made rising: the weighted isotonic mean, by its min-max formula (Barlow et al. 1972)."""
    falling = np.flatnonzero((np.diff(curves, axis=1) < 0).any(axis=1))
    if not len(falling):
        return curves
    size = curves.shape[1]
    heavy = weights[falling]
    sums, loads = (np.pad(np.cumsum(part, axis=1), ((0, 0), (1, 0))) for part in (curves[falling] * heavy, heavy))
    start, end = np.arange(size)[:, None], np.arange(size)[None, :]
    load = np.where(end >= start, loads[:, None, 1:] - loads[:, :-1, None], 1.0)
    means = (sums[:, None, 1:] - sums[:, :-1, None]) / load
    means = np.where(end >= start, means, np.inf)
    lowest = np.minimum.accumulate(means[:, :, ::-1], axis=2)[:, :, ::-1]
    lowest = np.where(end >= start, lowest, -np.inf)
    out = curves.copy()
    out[falling] = lowest.max(axis=1)
    return out


def _problems(model: Model) -> dict[str, list[float]]:
    """Effect and spread of every kind of problem, met or not."""
    post = model.post
    out = {kind: [round(float(np.log(factor)), 5), 0.35] for kind, factor in PROBLEMS.items()}
    start = model.columns.drift + 2
    for number, kind in enumerate(model.evidence.problems, start):
        prior = effects.problem_priors([kind])[0]
        out[kind] = [
            round(min(prior + float(post.beta[number]), 0.0), 5),
            round(float(np.sqrt(post.beta_cov[number, number])), 5),
        ]
    return out


def _shares(model: Model) -> dict[str, list[float]]:
    rows = model.rows
    raw = rows.kind == RAW
    counts = np.bincount(rows.step[raw], model.chance[raw], 3) + 40.0 * np.array(SHORT)
    found = {"": counts / counts.sum()}
    found.update({house: model.shares[i] for i, house in enumerate(model.evidence.houses) if house})
    rounded = {house: _round(shares[:2]) for house, shares in found.items()}
    return {house: [*two, round(1.0 - sum(two), 5)] for house, two in rounded.items()}


def _diagonal(cov: Floats) -> Floats:
    out: Floats = np.diagonal(cov, axis1=1, axis2=2).copy()
    return out


def _round(values: Floats | Sequence[float]) -> list[Any]:
    rounded: list[Any] = np.asarray(values).round(5).tolist()
    return rounded
