"""The metal value of an issue: the person's own figure, or a share of the lowest prices of its series.

The share is the one that best predicts sales held out.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import replace

import numpy as np

from watchlist.market.model import Model
from watchlist.market.rows import GUIDE, Evidence, Floats, thin
from watchlist.words import load

NAMES = "|".join(map(re.escape, load("metals")["precious"]))
PRECIOUS = re.compile(rf"(?<!nickel )\b(?:{NAMES})\b|\b(?:ag|au)[ .\d]*\b", re.IGNORECASE)
SHARES = (0.0, 0.2, 0.4, 0.6, 0.8, 1.0)
MOST = 300
"""Issues that are looked at to find the share."""
SURE = 2.0
"""Log density by which the metal must better the prediction before it is believed."""
FEW = 20
"""A series needs so many prices before its lowest say anything of the metal."""


def metal_of(evidence: Evidence, known: Mapping[str, float] | None) -> Floats:
    """Metal value of every issue in home currency where the person gave it; else 0."""
    known = known or {}
    return np.array([max(float(known.get(issue.key, 0.0)), 0.0) for issue in evidence.issues])


def lowest_of(evidence: Evidence) -> Floats:
    """For issues of precious metal without a figure: .85 of the 2 per cent point of their series' prices."""
    rows = evidence.rows
    out = np.zeros(len(evidence.issues))
    precious = np.array([bool(PRECIOUS.search(issue.metal)) for issue in evidence.issues], dtype=bool) & (
        evidence.metal == 0
    )
    if not precious.any() or not len(rows.y):
        return out
    sale = (rows.kind != GUIDE) & (rows.step == 0) & (rows.problem < 0)
    of_row = evidence.series_of[evidence.active[rows.issue]]
    for number in np.unique(evidence.series_of[precious]):
        mine = rows.y[sale & (of_row == number)]
        if len(mine) >= FEW:
            out[precious & (evidence.series_of == number)] = 0.85 * np.exp(np.quantile(mine, 0.02))
    return out


def with_metal(
    evidence: Evidence, build: Callable[[Evidence], Model], share: float | None = None
) -> tuple[Evidence, float]:
    """The evidence with the metal share that predicts held-out sales best, and that share; a share given stands."""
    lowest = lowest_of(evidence)
    if not lowest.any():
        return evidence, 0.0
    if share is None:
        part = thin(evidence, MOST)
        scores = [_held_out(replace(part, metal=part.metal + share * lowest), build) for share in SHARES]
        scores[0] += SURE
        share = SHARES[int(np.argmax(scores))]
    return replace(evidence, metal=evidence.metal + share * lowest), share


def _held_out(evidence: Evidence, build: Callable[[Evidence], Model]) -> float:
    """Log density of a fifth of the sales, predicted from the rest."""
    rows = evidence.rows
    apart = (np.random.default_rng(3).random(len(evidence.sales) + 1) < 0.2)[rows.sale] & (rows.sale >= 0)
    model = build(replace(evidence, rows=replace(rows, given=np.where(apart, 1e-6, rows.given))))
    gap, spread = model.missed(model.settle(2))
    fits = -0.5 * np.log(spread) - 2.5 * np.log1p(gap**2 / spread / 4.0)
    return float(np.sum((fits * model.chance)[apart]))
