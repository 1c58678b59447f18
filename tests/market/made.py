"""A made market, seeded: every figure in it is invented, so that the truth is known.

Value rises with grade along a curve that steepens at the top, falls with mintage (not in a straight line), differs by
series, and each issue has its own luck. Some issues were hoarded: flat at the top. The market drifts. Raw pieces are
often over-graded, some have problems, a few prices are slips, and sales pile up on common issues.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import Any

import numpy as np

from watchlist.core.coins.issue import Issue
from watchlist.core.prices.bands import answer
from watchlist.core.prices.realised import GuideRow, Sale
from watchlist.core.prices.record import Band
from watchlist.core.prices.truegrades import IN_USE, Asked, Header, Row, steps_below
from watchlist.market.rows import Floats

TODAY = date(2026, 3, 2)
USUAL = np.interp(
    IN_USE,
    [1, 4, 12, 30, 50, 58, 62, 64, 65, 66, 67, 70],
    np.cumsum([0.0, 0.35, 0.45, 0.55, 0.45, 0.2, 0.18, 0.3, 0.35, 0.5, 0.65, 1.4]),
)
FACTORS = {"cleaned": 0.62, "scratched": 0.6, "rim_damage": 0.65, "env_damage": 0.5, "repaired": 0.42, "holed": 0.25}


@dataclass
class Made:
    """Issues, sales and the truth behind them."""

    issues: list[Issue]
    sales: list[Sale]
    curves: dict[str, Floats]
    """Log value today of a certified piece at every number in use."""
    later: list[Sale]
    """Held-out sales, dated today, slips among them."""

    metal: float = 0.0

    def truth(self, issue: str, grade: float) -> float:
        """Log value today, certified."""
        return float(np.log(self.metal + np.exp(np.interp(grade, IN_USE, self.curves[issue]))))


@dataclass(frozen=True)
class Ways:
    """How a made market behaves."""

    issues: int = 300
    sales: int = 1500
    series: int = 4
    raw: float = 0.3
    """Share of raw pieces."""
    slips: float = 0.02
    """Share of prices 3 to 10 times off."""
    noise: float = 0.2
    luck: float = 0.14
    """Spread of an issue's own level."""
    mintages: bool = True
    problems: float = 0.06
    years: float = 6.0
    later: int = 1000
    drift: float = 0.04
    """Rise a year."""
    apart: float = 0.0
    """How far the series differ in it."""
    jump: float = 0.0
    """A sudden rise half a year ago."""
    metal: float = 0.0


def market(seed: int = 1, **ways: Any) -> Made:
    """One market; the same seed gives the same market."""
    w = Ways(**ways)
    g = np.random.default_rng(seed)
    catalogue, curves = _catalogue(g, w)
    popularity = np.minimum(g.pareto(1.1, w.issues) + 0.1, 12.0)
    popularity /= popularity.sum()
    drifts = w.drift + w.apart * np.random.default_rng(seed + 1000).normal(size=w.series)

    def draw(count: int, first: int, *, now: bool) -> list[Sale]:
        out = []
        for number, who in enumerate(g.choice(w.issues, count, p=popularity)):
            age = 0.0 if now else w.years * g.random()
            rise = drifts[who % w.series] * age + w.jump * (age > 0.5)
            out.append(_sale(g, w, catalogue[who], curves[catalogue[who].key], first + number, age, rise))
        return out

    return Made(catalogue, draw(w.sales, 1, now=False), curves, draw(w.later, w.sales + 1, now=True), w.metal)


def _catalogue(g: np.random.Generator, w: Ways) -> tuple[list[Issue], dict[str, Floats]]:
    issues, series, luck, mintages = w.issues, w.series, w.luck, w.mintages
    tops = g.normal(0, 0.12, series)
    levels = g.normal(3.6, 0.7, series)
    slopes = g.normal(0.55, 0.08, series)
    usual = g.normal(13.0, 0.7, series)
    catalogue, curves = [], {}
    for number in range(issues):
        s = number % series
        log_mintage = g.normal(usual[s], 1.1)
        scarce = usual[s] - log_mintage
        own = levels[s] + slopes[s] * scarce + 0.12 * max(scarce - 1.0, 0) ** 1.5 + g.normal(0, luck)
        steep = 1 + tops[s] + g.normal(0, 0.06) + 0.03 * scarce
        curve = own + steep * (USUAL - USUAL[14])
        if g.random() < 0.1:
            curve = np.where(np.array(IN_USE) > 60, curve - 0.3 * (curve - np.interp(60, IN_USE, curve)), curve)
        key = f"orv-{s}-{number}"
        catalogue.append(
            Issue(
                key,
                "Orvany",
                f"{(1, 5, 10, 20)[s % 4]} tor",
                1880 + number // series % 45,
                ("", "M", "V", "S")[number % 3],
                type=f"type {s}",
                mintage=int(np.exp(log_mintage)) if mintages else None,
                metal="silver .835",
            )
        )
        curves[key] = curve
    return catalogue, curves


def _sale(g: np.random.Generator, w: Ways, issue: Issue, curve: Floats, number: int, age: float, rise: float) -> Sale:
    grade = float(
        IN_USE[int(np.clip(g.choice([3, 6, 9, 12, 14, 16, 18, 20, 22, 23, 24, 25, 26]) + g.integers(-1, 2), 0, 29))]
    )
    is_raw = bool(g.random() < w.raw)
    true = steps_below(grade, int(g.choice(3, p=[0.5, 0.35, 0.15]))) if is_raw else grade
    eta, problem = float(np.interp(true, IN_USE, curve)) - rise, ""
    if g.random() < w.problems:
        problem = str(g.choice(list(FACTORS)))
        eta += np.log(FACTORS[problem])
    y = np.log(w.metal + np.exp(eta)) + w.noise * g.standard_t(6) * 0.82
    if g.random() < w.slips:
        y += g.choice([-1, 1]) * np.log(g.uniform(3, 10))
    return Sale(
        number,
        issue.key,
        grade,
        float(np.round(np.exp(y), 2)) or 0.01,
        TODAY - timedelta(days=int(age * 365.25)),
        is_raw,
        problem,
    )


def told(header: Header, row: Row | None, **asked: Any) -> Band:
    """The band, where there must be one."""
    band = answer(header, row, Asked(**asked))
    assert band is not None
    return band


def guides(made: Made, seed: int = 5, error: float = 0.15) -> list[GuideRow]:
    """A guide with one shared error an issue."""
    g = np.random.default_rng(seed)
    out = []
    for issue in made.issues:
        shift = g.normal(0, error)
        for low, high in ((12, 15), (20, 35), (40, 45), (60, 63), (64, 65)):
            value = float(np.exp(made.truth(issue.key, (low + high) / 2) + shift + g.normal(0, 0.05)))
            out.append(GuideRow(issue.key, low, high, value * 0.85, value * 1.15, TODAY))
    return out


def spoiled(sales: list[Sale], share: float = 0.05, seed: int = 9) -> list[Sale]:
    """The same with some prices multiplied or divided by 3 to 10."""
    g = np.random.default_rng(seed)
    return [
        replace(s, price=s.price * float(g.uniform(3, 10)) ** int(g.choice([-1, 1]))) if g.random() < share else s
        for s in sales
    ]
