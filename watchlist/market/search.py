"""The search for the scales that make the observed prices most likely."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import fields

from watchlist.market.exact import Sums
from watchlist.market.model import Model, Tell
from watchlist.market.prior import Scales
from watchlist.market.rows import Evidence, thin

STEPS = (0.7, 0.35, 0.2)
MOST = 600
"""Issues the search looks at."""


def find_scales(evidence: Evidence, start: Scales, tell: Callable[[str, float], None]) -> Scales:
    """Coordinate search on the log marginal likelihood, weights and noise held within each step size."""

    def at(number: int) -> Tell:
        return lambda: tell("looking for the scales", 0.1 + 0.4 * number / len(STEPS))

    at(0)()
    part = thin(evidence, MOST)
    model = Model(part, start)
    model.settle(2, at(0))
    names = [f.name for f in fields(Scales) if f.name != "tg" or part.guides]
    for number, step in enumerate(STEPS):
        _climb(model, names, step, at(number))
        model.settle(2, at(number))
    return model.scales


def _climb(model: Model, names: list[str], step: float, tell: Tell) -> None:
    sums = model.sums(model.scales)
    best = model.likelihood(model.scales, sums) + model.scales.log_prior()
    for name in names:
        for direction in (step, -step):
            tell()
            scales = model.scales.stretched(name, direction)
            its_sums = model.sums(scales) if name in ("rho", "tg") else sums
            score = _score(model, scales, its_sums)
            if score > best + 1e-6:
                best, sums, model.scales = score, its_sums, scales
                break


def _score(model: Model, scales: Scales, sums: Sums) -> float:
    return model.likelihood(scales, sums) + scales.log_prior()
