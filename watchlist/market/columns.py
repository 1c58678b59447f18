"""What moves a price beside the curve: the market's drift, raw or certified, problems, and the mintage of an issue."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from watchlist.market.moves import Moves, effects_of
from watchlist.market.rows import ANY_PROBLEM, GUIDE, PROBLEMS, RAW, Evidence, Floats, Ints, spots

RAW_SPREAD = 0.12
"""Spread of what raw pieces bring beside being over-graded."""
PACE = 0.05
"""Spread of a series' own drift, a year."""
ENOUGH = 8
"""Sales a series needs for that."""
SERIES = 24
"""At most so many series have their own drift, those with most sales first."""
LEVEL, BENT, OWN = 1.0, 0.3, 0.15
"""Spreads of the mintage effect: its slope, its bends, its difference by series."""


@dataclass(frozen=True, slots=True)
class Columns:
    """The regression part: sparse columns of the observations and dense ones of the issues."""

    ages: Floats
    """Knots of the drift; the first, age 0, is the reference and has no column."""
    place: Ints
    """Up to five columns of each observation, and two for each trait that it has."""
    value: Floats
    """Their values, 0 where unused."""
    count: int
    """Columns of observations: drift, raw, guide, problems, traits, traits in single series, drift of single series."""
    offset: Floats
    """What the priors expect of each observation (its problem), taken off y first."""
    levels: Floats
    """Mintage features of every issue (issues x features)."""
    tilt: Ints
    """The features that act through steepness instead of level."""
    paced: Ints
    """The series that have a drift of their own."""
    moves: Moves
    """What traits do."""
    penalty: Floats
    """Prior precision of all columns, those of the observations first; of the drift for a pace of 1."""

    @property
    def drift(self) -> int:
        """Number of drift columns."""
        return len(self.ages) - 1

    def held(self, pace: float) -> Floats:
        """Prior precision of all columns where the market drifts by so much in half a year."""
        full, drift = self.penalty.copy(), self.drift
        full[:drift, :drift] /= pace**2
        return full


def build(evidence: Evidence) -> Columns:
    """The columns for this evidence."""
    rows = evidence.rows
    ages = drift_knots(float(np.max(rows.age)) if len(rows.age) else 0.0)
    drift = len(ages) - 1
    paced = own_pace(evidence)
    moves = effects_of(evidence, drift + 2 + len(evidence.problems))
    count = moves.end + len(paced)
    node, share = spots(ages, rows.age)
    said, theirs = moves.of(rows.traits, evidence.active_series[rows.issue])
    place = np.zeros((len(rows.y), 5), dtype=np.int64)
    value = np.zeros((len(rows.y), 5))
    place[:, 0], value[:, 0] = np.maximum(node - 1, 0), np.where(node > 0, 1.0 - share, 0.0)
    place[:, 1], value[:, 1] = np.minimum(node, drift - 1), share
    place[:, 2], value[:, 2] = drift + (rows.kind == GUIDE), (rows.kind >= RAW).astype(np.float64)
    has = rows.problem >= 0
    place[:, 3], value[:, 3] = np.where(has, drift + 2 + rows.problem, 0), has.astype(np.float64)
    column = np.full(len(evidence.series), -1, dtype=np.int64)
    column[paced] = count - len(paced) + np.arange(len(paced))
    its = column[evidence.active_series[rows.issue]]
    place[:, 4], value[:, 4] = np.maximum(its, 0), np.where((its >= 0) & (rows.kind != GUIDE), rows.age, 0.0)
    expected = np.array([*problem_priors(evidence.problems), 0.0])
    levels, tilt, own = mintage_features(evidence)
    return Columns(
        ages,
        np.concatenate([place, said], axis=1),
        np.concatenate([value, theirs], axis=1),
        count,
        expected[rows.problem] + moves.expected(rows.traits),
        levels,
        tilt,
        paced,
        moves,
        _penalty(ages, evidence, len(paced), own, moves),
    )


def own_pace(evidence: Evidence) -> Ints:
    """The series with enough sales for a drift of their own; none where there is but one series."""
    rows = evidence.rows
    sales = (rows.sale >= 0) & (rows.step == 0)
    counts = np.bincount(evidence.active_series[rows.issue[sales]], minlength=len(evidence.series))
    most = np.argsort(-counts, kind="stable")[:SERIES]
    chosen = np.sort(most[counts[most] >= ENOUGH])
    return chosen if np.count_nonzero(counts) > 1 else chosen[:0]


def drift_knots(oldest: float) -> Floats:
    """Every half-year for five years, then every year."""
    knots = [*np.arange(0.0, 5.25, 0.5), *np.arange(6.0, max(oldest, 5.0) + 1.0, 1.0)]
    enough = next((n for n, knot in enumerate(knots) if knot >= oldest), len(knots) - 1)
    return np.array(knots[: max(enough, 1) + 1])


def problem_priors(kinds: list[str]) -> list[float]:
    """Prior effect of each kind of problem on log price."""
    return [float(np.log(PROBLEMS.get(kind, ANY_PROBLEM))) for kind in kinds]


def mintage_features(evidence: Evidence) -> tuple[Floats, Ints, Floats]:
    """Scarcity of every issue against its series, with bends; which features tilt; the prior precision of each."""
    struck = np.array([float(issue.mintage or 0) for issue in evidence.issues])
    known = struck > 0
    logs = np.log(np.where(known, struck, 1.0))
    q = np.zeros(len(struck))
    large = []
    for number in range(len(evidence.series)):
        mine = known & (evidence.series_of == number)
        if mine.sum() >= 2:
            q[mine] = np.median(logs[mine]) - logs[mine]
            large.append((int(mine.sum()), number))
    if not np.any(q):
        return np.zeros((len(struck), 0)), np.zeros(0, dtype=np.int64), np.zeros(0)
    bends = np.unique(np.quantile(q[known], [0.33, 0.67, 0.9]))
    shared = [q, *(np.where(known, np.maximum(q - bend, 0.0), 0.0) for bend in bends)]
    own = [n for _, n in sorted(large, reverse=True)[:12] if len(large) > 1]
    by_series = [np.where(evidence.series_of == number, q, 0.0) for number in own]
    tilt = len(shared) + len(by_series)
    spreads = [LEVEL, *[BENT] * len(bends), *[OWN] * len(by_series), BENT]
    return np.stack([*shared, *by_series, q], axis=1), np.array([tilt]), 1.0 / np.square(spreads)


def over_nodes(columns: Columns, issues: Ints, z: Floats) -> Floats:
    """The mintage columns of some issues at every node (issues x nodes x features)."""
    wide = np.repeat(columns.levels[issues][:, None, :], len(z), axis=1)
    wide[:, :, columns.tilt] *= z[None, :, None]
    return wide


def _penalty(ages: Floats, evidence: Evidence, paced: int, own: Floats, moves: Moves) -> Floats:
    drift = len(ages) - 1
    size = moves.end + paced
    full = np.zeros((size + len(own), size + len(own)))
    step = np.diff(np.eye(drift + 1), axis=0)[:, 1:]
    step = step / np.sqrt(np.diff(ages) / 0.5)[:, None]
    full[:drift, :drift] = step.T @ step
    rest = [
        1 / RAW_SPREAD**2,
        1 / 0.3**2,
        *[1 / 0.35**2] * len(evidence.problems),
        *moves.penalty,
        *[1 / PACE**2] * paced,
        *own,
    ]
    full[range(drift, len(full)), range(drift, len(full))] = rest
    return full
