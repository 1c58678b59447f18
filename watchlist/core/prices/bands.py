"""The band of an issue in a grade, from the saved market state. Nothing here wakes numpy.

The state is plain JSON: one header for the market, one row for each issue. `market/` writes both; docs/market.md
tells what every entry means.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date
from math import hypot, sqrt

from watchlist.core.coins.issue import Issue
from watchlist.core.prices.bandmath import (
    Z90,
    Part,
    between,
    collectors_part,
    mixture_point,
    over_metal,
    over_metal_slope,
    place,
)
from watchlist.core.prices.explain import price_of
from watchlist.core.prices.record import Band
from watchlist.core.prices.traits import effect_of, unsaid_spread
from watchlist.core.prices.truegrades import HIDDEN, Asked, Header, Row, grade_weights, problem_effect

WIDEST = 2.0
"""Spread of log price from which a band says nothing: its high would be 170 times its low."""

APPEAL = (0.06, 0.15)
"""How far pieces of one issue and grade differ in value, log; and how much more those with a problem do."""

VERSION = 2
"""Of the market state; a state of another version is not read but fitted anew."""


VARIED = 0.5
"""Spread of log price of varieties around their plain issue: 80 per cent of them bring from half to twice as much."""


def no_parent(_issue: Issue) -> str:
    """No issue has a parent: nothing is known of the catalogue."""
    return ""


@dataclass(frozen=True, slots=True)
class MarketState:
    """The saved market: its header, and a way to read one issue's row."""

    header: Header
    lookup: Callable[[str], Row | None]
    parent: Callable[[Issue], str] = no_parent
    """The key of the plain issue that a variety is of; empty for none."""

    def row(self, issue: Issue) -> Row | None:
        """The row of an issue; of its parent where a variety has no sales and the parent has; of its series where the
        fit did not know the issue; None in an unknown series."""
        found = self.lookup(issue.key)
        if found is None or found["basis"] == "similar":
            its = self.lookup(key) if (key := self.parent(issue)) else None
            if its is not None and its["n"]:
                return _of_parent(its)
        return found if found is not None else series_row(self.header, issue)


def _of_parent(row: Row) -> Row:
    """What the plain issue says of its variety: the same middle, and much wider, for a variety may be rare."""
    curves = {side: _wider(*lines) for side, lines in row["curves"].items()}
    spreads = {side: [hypot(sd, VARIED) for sd in line] for side, line in row["sd"].items()}
    return {**row, "n": 0, "newest": None, "basis": "parent", "curves": curves, "sd": spreads}


def _wider(low: Sequence[float], mid: Sequence[float], high: Sequence[float]) -> list[list[float]]:
    more = Z90 * VARIED
    under = [at - hypot(at - one, more) for one, at in zip(low, mid, strict=True)]
    over = [at + hypot(one - at, more) for one, at in zip(high, mid, strict=True)]
    return [under, list(mid), over]


def series_key(issue: Issue) -> str:
    """The name of an issue's series in the header."""
    return "|".join(issue.series)


def series_row(header: Header, issue: Issue) -> Row | None:
    """What an issue of this series brings of which nothing else is known; None for a series never seen."""
    found: Row | None = header["series"].get(series_key(issue))
    return found


def answer(header: Header, row: Row | None, asked: Asked) -> Band | None:
    """The band of the next price: a mixture over the grades a lot may be, and for a raw piece over the steps it may
    fall short.

    None without a row, and where so little is known that a band would say nothing.
    """
    if row is None:
        return None
    effect, spread = _moved(header, row, asked)
    curves = row["curves"]["raw" if asked.raw else "certified"]
    spots = grade_weights(header, asked)
    parts = [_part(curves, place(header["nodes"], grade), weight) for grade, weight in spots]
    if effect or spread:
        parts = [_with_effect(part, effect, spread, row.get("metal", 0.0)) for part in parts]
    if _hopeless([(under + over) / 2 for _, _, under, over in parts]):
        return None
    return _band(header, row, parts)


def value(header: Header, row: Row | None, parts: Sequence[tuple[float, float, float]]) -> Band | None:
    """The band of what the piece is worth, by its `fair_value`, the swing of a single sale left out; None where that is
    empty."""
    if row is None or not parts:
        return None
    return _band(header, row, [(weight, mu, sigma, sigma) for weight, mu, sigma in parts])


def _band(header: Header, row: Row, parts: Sequence[Part]) -> Band:
    low, mid, high = map(price_of, _points(parts))
    newest = date.fromisoformat(row["newest"]) if row["newest"] else None
    return Band(low, mid, high, header["currency"], header["kind"], row["n"], newest, row["basis"])


def fair_value(header: Header, row: Row | None, asked: Asked) -> list[tuple[float, float, float]]:
    """What the piece is worth: log-normal parts as (weight, mu, sigma), weights adding up to one; empty without a row.

    Sigma is how unsure the value is: the level's own uncertainty and the spread of pieces of one grade; the swing of a
    single sale is left out. A raw piece may be over-graded and may hide a problem.
    """
    if row is None:
        return []
    side = "raw" if asked.raw else "certified"
    middle, spread = row["curves"][side][1], row["sd"][side]
    effect, more = _moved(header, row, asked)
    appeal, odd = header.get("appeal", APPEAL)
    own = hypot(appeal, more, odd if asked.problems else 0.0, unsaid_spread(header, row["series"], asked.traits))
    metal, parts = row.get("metal", 0.0), []
    for grade, weight in grade_weights(header, asked):
        spot = place(header["nodes"], grade)
        eta = collectors_part(between(middle, spot), metal) + effect
        parts.append((weight, eta, hypot(between(spread, spot), own)))
    if _hopeless([sigma for _, _, sigma in parts]):
        return []
    if asked.raw and not asked.problems:
        parts = _with_hidden(parts)
    return [(weight, over_metal(eta, metal), sigma * over_metal_slope(eta, metal)) for weight, eta, sigma in parts]


def _hopeless(spreads: Sequence[float]) -> bool:
    return max(spreads) > WIDEST


def _part(curves: Sequence[Sequence[float]], spot: tuple[int, float], weight: float) -> Part:
    low, mid, high = (between(curve, spot) for curve in curves)
    return weight, mid, max((mid - low) / Z90, 1e-3), max((high - mid) / Z90, 1e-3)


def _moved(header: Header, row: Row, asked: Asked) -> tuple[float, float]:
    """What problems and traits do to the log value, and how unsure that is."""
    effect, spread = problem_effect(header, asked.problems)
    more, unsure = effect_of(header, row["series"], asked.traits)
    return effect + more, hypot(spread, unsure)


def _with_effect(part: Part, effect: float, spread: float, metal: float) -> Part:
    """A problem or a trait moves what collectors pay, not the metal."""
    weight, mid, under, over = part
    eta = collectors_part(mid, metal) + effect
    spread *= over_metal_slope(eta, metal)
    return weight, over_metal(eta, metal), hypot(under, spread), hypot(over, spread)


def _points(parts: Sequence[Part]) -> tuple[float, float, float]:
    if len(parts) == 1:
        _, mid, under, over = parts[0]
        return mid - Z90 * under, mid, mid + Z90 * over
    return mixture_point(parts, 0.1), mixture_point(parts, 0.5), mixture_point(parts, 0.9)


def _with_hidden(parts: list[tuple[float, float, float]]) -> list[tuple[float, float, float]]:
    chance, effect, spread = HIDDEN
    mean = sum(weight * mu for weight, mu, _ in parts)
    around = sum(weight * (sigma * sigma + (mu - mean) ** 2) for weight, mu, sigma in parts)
    hidden = (chance, mean + effect, sqrt(around + spread * spread))
    return [*((weight * (1.0 - chance), mu, sigma) for weight, mu, sigma in parts), hidden]
