"""What the model believes before it sees a sale: how curves of issues, series and the whole market vary."""

from __future__ import annotations

from dataclasses import asdict, dataclass, fields, replace

import numpy as np

from watchlist.core.prices.truegrades import IN_USE
from watchlist.market.rows import Floats

STEP_UP, STEP_SPREAD = 0.12, 0.1
"""Rise of the market's curve from one grade in use to the next: mean and spread of log price."""
FIRST_RISE = 0.15
"""Rise from node to node that the rounds start from."""


@dataclass(frozen=True, slots=True)
class Scales:
    """Spreads of log price. Found by the search, kept in the state."""

    tu: float = 0.5
    """Issues of a series: level."""
    tb: float = 0.15
    """Issues: steepness."""
    th: float = 0.15
    """Issues: top of the scale alone (hoarded issues are flat there)."""
    tr: float = 0.1
    """Issues: wobble from node to node."""
    su: float = 0.7
    """Series: level."""
    sb: float = 0.12
    """Series: steepness."""
    sr: float = 0.08
    """Series: wobble."""
    rho: float = 0.05
    """Own drift of an issue, per square root of a year."""
    tg: float = 0.2
    """Error a price guide shares over all rows of an issue."""
    pace: float = 0.06
    """The whole market: its drift over half a year."""
    turn: float = 0.1
    """The market's curve: how far its rise from one grade in use to the next changes at a node."""

    def stretched(self, name: str, log_step: float) -> Scales:
        """The same with one scale times e^log_step, kept within bounds."""
        value = float(np.clip(getattr(self, name) * np.exp(log_step), 0.005, 4.0))
        return replace(self, **{name: value})

    def log_prior(self) -> float:
        """Log density up to a constant: each scale log-normal around its default, spread .6."""
        usual = Scales()
        gaps = [np.log(getattr(self, f.name) / getattr(usual, f.name)) / 0.6 for f in fields(self)]
        return -0.5 * float(np.dot(gaps, gaps))

    def json(self) -> dict[str, float]:
        """For the header of the state."""
        return {name: round(float(value), 6) for name, value in asdict(self).items()}


@dataclass(frozen=True, slots=True)
class Prior:
    """Covariances of the curves over the nodes, and the market curve's own prior."""

    issue: Floats
    series: Floats
    market: Floats
    """Precision of the market curve."""
    pull: Floats
    """That precision times the market curve's prior mean."""
    constant: float
    """The prior mean's square under that precision."""


@dataclass(frozen=True, slots=True)
class Rise:
    """How a curve over the nodes rises: the trade names more grades where prices differ more, so that a step from one
    grade in use to the next is the measure."""

    place: Floats
    """Of each node: grades in use up to it."""
    turns: Floats
    """Squares of how far the rise a step changes from node to node."""
    whole: Floats
    """Its mean rise a step, from the first node to the last."""


def rise_over(nodes: Floats) -> Rise:
    """The measure of a curve's rise over these nodes."""
    place = np.interp(nodes, IN_USE, np.arange(len(IN_USE)))
    size = len(nodes)
    step = np.diff(np.eye(size), axis=0) / np.diff(place)[:, None] if size > 1 else np.zeros((0, size))
    turn = np.diff(step, axis=0)
    whole = np.eye(size)[-1] - np.eye(size)[0]
    return Rise(place, turn.T @ turn, whole / max(place[-1] - place[0], 1.0))


def shape(nodes: Floats, curve: Floats) -> tuple[Floats, Floats]:
    """Steepness z (the market curve less its mean) and top h (its part above grade 60)."""
    z = curve - curve.mean()
    top = np.maximum(z - np.interp(60.0, nodes, z), 0.0)
    return z, top


def build(scales: Scales, z: Floats, top: Floats, rise: Rise) -> Prior:
    """The prior for these scales and this shape of the market curve."""
    size = len(z)
    near = np.exp(-np.abs(z[:, None] - z[None, :]))
    one = np.ones((size, size))
    steep = np.outer(z, z)
    tiny = 1e-6 * np.eye(size)
    issue = scales.tu**2 * one + scales.tb**2 * steep + scales.th**2 * np.outer(top, top) + scales.tr**2 * near + tiny
    series = scales.su**2 * one + scales.sb**2 * steep + scales.sr**2 * near + tiny
    market = rise.turns / scales.turn**2 + np.outer(rise.whole, rise.whole) / STEP_SPREAD**2 + 1e-4 * np.eye(size)
    pull = rise.whole * STEP_UP / STEP_SPREAD**2
    return Prior(issue, series, market, pull, float(pull @ np.linalg.solve(market, pull)))
