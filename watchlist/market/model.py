"""The model at work: observations with their weights, one exact pass after the other."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from watchlist.market import columns as effects
from watchlist.market import exact, link, prior
from watchlist.market.columns import Columns
from watchlist.market.exact import Posterior, Solved, Sums
from watchlist.market.prior import Scales
from watchlist.market.rows import GUIDE, RAW, SHORT, Evidence, Floats, Ints
from watchlist.market.summing import Adder

Tell = Callable[[], None]
"""Called between the steps of long work; it raises when the person has stopped it."""
ROUNDS = 3
FREEDOM = 4.0
"""Degrees of freedom of the Student t that keeps wild prices in check (Lange, Little and Taylor 1989)."""
USUAL_NOISE, NOISE_PULL = 0.22, 12.0
"""Spread of one sale around fair value, and how many sales that belief is worth."""
GRADE_PULL = 20.0
"""How many sales it takes until the swing of prices around one grade counts as much as the common one."""
FLOORS = np.array([0.02, 0.02, 0.08])
SHARE_PULL = 40.0
SHARE_ROUNDS, SHARE_STILL = 25, 1e-3
"""The shares of over-grading are found again until they move less than this, in so many rounds at most."""


def still() -> None:
    """Nobody follows the work."""


class Model:
    """Weights, noise and curves of one set of evidence; `settle` improves them round by round."""

    post: Posterior
    """What the last pass gave; `settle` comes first."""

    def __init__(self, evidence: Evidence, scales: Scales) -> None:
        self.evidence, self.rows, self.scales = evidence, evidence.rows, scales
        self.columns: Columns = effects.build(evidence)
        self.metal: Floats = evidence.metal[evidence.active[self.rows.issue]]
        self.y: Floats = link.first_guess(self.rows.y, self.metal) - self.columns.offset
        self.slope: Floats = link.slope_of(self.y, self.metal)
        self.sigma: Floats = np.full(3, USUAL_NOISE)
        self.swing: Floats = np.ones(len(evidence.nodes))
        self.shares: Floats = np.tile(SHORT, (max(len(evidence.houses), 1), 1))
        raw = self.rows.kind == RAW
        self.chance: Floats = np.where(raw, np.array(SHORT)[self.rows.step], 1.0)
        self.trust: Floats = _first_trust(evidence)
        self.rise = prior.rise_over(evidence.nodes)
        self.z, self.top = prior.shape(
            evidence.nodes, prior.FIRST_RISE * np.arange(len(evidence.nodes), dtype=np.float64)
        )
        self.series: Ints = evidence.active_series
        self.count = len(evidence.series)
        self.adder = Adder(self.rows, self.columns, self.y, len(evidence.active), len(evidence.nodes))

    def settle(self, rounds: int = ROUNDS, tell: Tell = still) -> Posterior:
        """So many rounds of pass, shape and weights, and a last pass. `tell` is called often; it may raise to stop."""
        for _ in range(rounds):
            self.post = self._full_pass(tell)
            tell()
            self.weigh(self.post)
            self._look_over_metal(self.post)
            z = 0.5 * self.z + 0.5 * (self.post.market - self.post.market.mean())
            self.z, self.top = prior.shape(self.evidence.nodes, z)
            tell()
        self.post = self._full_pass(tell, answers=True)
        return self.post

    def likelihood(self, scales: Scales, sums: Sums) -> float:
        """Log marginal likelihood of other scales, weights and noise held."""
        return self.solve(scales, sums).likelihood

    def solve(self, scales: Scales, sums: Sums) -> Solved:
        """One exact pass."""
        return exact.solve(sums, self.prior(scales), self.columns.held(scales.pace), self.series, self.count)

    def prior(self, scales: Scales | None = None) -> prior.Prior:
        """The prior at these scales and the present shape."""
        return prior.build(scales or self.scales, self.z, self.top, self.rise)

    def noise(self, scales: Scales) -> Floats:
        """Variance of every observation around its curve."""
        own = np.where(self.rows.kind == GUIDE, 0.0, scales.rho**2 * self.rows.age)
        variance: Floats = (self.sale_noise() + own) / self.slope**2
        return variance

    def sale_noise(self) -> Floats:
        """Variance of a sale around fair value: by class, and for sales by grade."""
        node, share = self.rows.node, self.rows.share
        swing = (1 - share) * self.swing[node] + share * self.swing[node + 1]
        variance: Floats = np.square(self.sigma)[self.rows.kind] * np.where(self.rows.kind == GUIDE, 1.0, swing)
        return variance

    def sums(self, scales: Scales) -> Sums:
        """The observations, summed at their present weights."""
        p = self.rows.given * self.chance * self.trust / self.noise(scales)
        a, b, cross = self.adder.add(p, self.columns.levels.shape[1])
        log_precision = 0.5 * float(np.sum(np.log(np.maximum(p, 1e-12)) * self.rows.given * self.chance))
        log_precision += self._share_guide_error(scales, p, a, b, cross)
        return self._with_levels(a, b, cross, log_precision)

    def fitted(self, post: Posterior) -> tuple[Floats, Floats]:
        """Residual of every observation and the variance of its curve there."""
        rows, curve = self.rows, self.curves(post)
        effect = (post.beta[self.columns.place] * self.columns.value).sum(axis=1)
        low, high, s = rows.node, rows.node + 1, rows.share
        middle = (1 - s) * curve[rows.issue, low] + s * curve[rows.issue, high]
        cov = post.issue_cov
        spread = (1 - s) ** 2 * cov[rows.issue, low, low] + s**2 * cov[rows.issue, high, high]
        spread += 2 * s * (1 - s) * cov[rows.issue, low, high]
        return self.y - effect - middle, spread

    def curves(self, post: Posterior | None = None) -> Floats:
        """The curve of every active issue over the nodes, mintage in."""
        post = post or self.post
        curve: Floats = post.issue + self._wide() @ post.beta[self.columns.count :]
        return curve

    def missed(self, post: Posterior) -> tuple[Floats, Floats]:
        """Gap of every price to its prediction, in log price, and the variance of that gap."""
        gap, spread = self.fitted(post)
        eta = self.y - gap + self.columns.offset
        slope = link.slope_of(eta, self.metal)
        seen = np.log(self.metal + np.exp(np.minimum(eta, 40.0)))
        return self.rows.y - seen, slope**2 * spread + self.noise(self.scales) * self.slope**2

    def weigh(self, post: Posterior) -> None:
        """New trust, chances of over-grading, shares and noise from the residuals."""
        rows = self.rows
        residual, spread = self.fitted(post)
        residual -= self._guide_error(residual)
        v = self.noise(self.scales)
        q = (residual**2 + spread) / v
        self.trust = (FREEDOM + 1) / (FREEDOM + q)
        self.trust[rows.kind == GUIDE] = np.minimum(self.trust[rows.kind == GUIDE], 1.0)
        self._share_out(q)
        u = rows.given * self.chance
        self._find_noise(u, self.trust * q)

    def _find_noise(self, u: Floats, squares: Floats) -> None:
        """Noise by class, and how much more or less prices swing at each grade, both pulled to what is usual."""
        rows, old, count = self.rows, np.square(self.sigma), len(self.swing)
        sale = np.where(rows.kind == GUIDE, 0.0, u)

        def at_nodes(values: Floats) -> Floats:
            low = np.bincount(rows.node, (1 - rows.share) * values, count).astype(np.float64)
            return low + np.bincount(rows.node + 1, rows.share * values, count)

        self.swing = (at_nodes(sale * squares) * self.swing + GRADE_PULL) / (at_nodes(sale) + GRADE_PULL)
        parts = np.bincount(rows.kind, u * squares * old[rows.kind], 3)
        counts = np.bincount(rows.kind, u, 3)
        new = (parts + NOISE_PULL * USUAL_NOISE**2) / (counts + NOISE_PULL)
        self.sigma = np.maximum(np.sqrt(new), FLOORS)

    def _look_over_metal(self, post: Posterior) -> None:
        """Where metal counts, see the prices anew from the present curves."""
        if not self.metal.any():
            return
        gap, _ = self.fitted(post)
        eta = self.y - gap + self.columns.offset
        self.slope = link.slope_of(eta, self.metal)
        seen = link.seen_from(eta, self.rows.y, self.metal, self.slope) - self.columns.offset
        self.y = (1 - link.NEW) * self.y + link.NEW * seen
        self.adder.see(self.y)

    def _full_pass(self, tell: Tell, *, answers: bool = False) -> Posterior:
        sums = self.sums(self.scales)
        tell()
        solved = self.solve(self.scales, sums)
        tell()
        return exact.finish(solved, sums, self.prior(), self.series, self.count, answers=answers)

    def _share_out(self, q: Floats) -> None:
        """Chances that a raw piece falls 0, 1 or 2 steps short, and the shares by kind of venue."""
        rows = self.rows
        raw = rows.kind == RAW
        if not raw.any():
            return
        density = (1 + q / FREEDOM) ** (-(FREEDOM + 1) / 2)
        cells = rows.house[raw] * 3 + rows.step[raw]
        for _ in range(SHARE_ROUNDS):
            fits = np.where(raw, self.shares[rows.house, rows.step] * density, 0.0)
            whole = np.bincount(rows.sale[raw], fits[raw], len(self.evidence.sales))
            self.chance = np.where(raw, fits / np.maximum(whole[rows.sale], 1e-300), 1.0)
            before = self.shares
            counts = np.bincount(cells, (rows.given * self.chance)[raw], before.size).reshape(before.shape)
            self.shares = (SHARE_PULL * np.array(SHORT) + counts) / (SHARE_PULL + counts.sum(axis=1, keepdims=True))
            if np.max(np.abs(self.shares - before)) < SHARE_STILL:
                break

    def _guide_error(self, residual: Floats) -> Floats:
        """The part of the residuals that a guide shares over an issue."""
        rows = self.rows
        guide = rows.kind == GUIDE
        if not guide.any():
            return np.zeros(len(residual))
        p = np.where(guide, self.trust / self.noise(self.scales), 0.0)
        count = len(self.evidence.active)
        shared = np.bincount(rows.issue, p * residual, count) / (
            1 / self.scales.tg**2 + np.bincount(rows.issue, p, count)
        )
        return np.where(guide, shared[rows.issue], 0.0)

    def _share_guide_error(self, scales: Scales, p: Floats, a: Floats, b: Floats, cross: Floats) -> float:
        """All guide rows of an issue share one error: take it out of the sums (Woodbury)."""
        rows = self.rows
        guide = np.flatnonzero(rows.kind == GUIDE)
        if not len(guide):
            return 0.0
        who, slot = np.unique(rows.issue[guide], return_inverse=True)
        s, weight = rows.share[guide], p[guide]
        reach = np.zeros((len(who), a.shape[1]))
        np.add.at(reach, (slot, rows.node[guide]), weight * (1 - s))
        np.add.at(reach, (slot, rows.node[guide] + 1), weight * s)
        sums = np.zeros((len(who), cross.shape[0]))
        np.add.at(sums, slot, weight[:, None] * self.adder.dense(guide))
        d = 1 / scales.tg**2 + np.bincount(slot, weight)
        a[who] -= reach[:, :, None] * reach[:, None, :] / d[:, None, None]
        b[who, :, : self.adder.width] -= reach[:, :, None] * sums[:, None, :] / d[:, None, None]
        cross -= sums.T @ (sums / d[:, None])
        return -0.5 * float(np.sum(np.log(scales.tg**2 * d)))

    def _wide(self) -> Floats:
        return effects.over_nodes(self.columns, self.evidence.active, self.z)

    def _with_levels(self, a: Floats, b: Floats, cross: Floats, log_precision: float) -> Sums:
        """Fill in the mintage columns, which act on whole issues."""
        wide = self._wide()
        features, width = wide.shape[2], self.adder.width
        if not features:
            return Sums(a, b, cross, log_precision)
        b[:, :, width:] = a @ wide
        full = np.zeros((width + features, width + features))
        full[:width, :width] = cross
        full[:, width:] = b.reshape(-1, width + features).T @ wide.reshape(-1, features)
        full[width:, :width] = full[:width, width:].T
        return Sums(a, b, full, log_precision)


def _first_trust(evidence: Evidence) -> Floats:
    """A rough trust to start from, so that a wild price does not bend the first pass."""
    rows = evidence.rows
    if not len(rows.y):
        return np.zeros(0)
    group = evidence.active_series[rows.issue]
    starts = np.flatnonzero(np.diff(group, prepend=-1))
    middle = np.array([np.median(part) for part in np.split(rows.y, starts[1:])])
    gap = (rows.y - np.repeat(middle, np.diff(starts, append=len(group)))) / 2.0
    trust: Floats = (FREEDOM + 1) / (FREEDOM + gap**2)
    return trust
