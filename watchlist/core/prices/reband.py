"""One issue again after one more price: plain Python, no numpy.

A row keeps the issue's prior (similar issues, a guide, its sales before the newest 20) and the newest 20 sales. The
sales are taken in one by one (a Kalman step each), with the robust weights of the fit.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from math import exp, isfinite, log, sqrt
from operator import add
from typing import Any

from watchlist.core.prices.bandmath import bend, between, over_metal, over_metal_slope, place, rising, unpack
from watchlist.core.prices.realised import Sale
from watchlist.core.prices.traits import effect_of
from watchlist.core.prices.truegrades import IN_USE, SHORT_STEPS, Header, Row, problem_effect, steps_below

KEEP, ROUNDS, FREEDOM = 20, 3, 4.0
"""Sales kept, rounds of robust weights, and the degrees of freedom of their Student t."""
SIDES = ("certified", "raw")


@dataclass(slots=True)
class Seen:
    """One kept sale as the model sees it."""

    kept: Sequence[Any]
    spots: list[tuple[float, tuple[int, float]]]
    """Chances of its true grade, and the place of each on the nodes."""
    y: float
    """Log price today without class and problem; where metal counts, of the collector's part."""
    v: float
    """Variance around the curve."""
    age: float
    offset: float
    """What was taken off: drift, class, problem."""
    given: float
    """The person's own weight, faded with age."""
    trust: float = 1.0


@dataclass(slots=True)
class Curve:
    """Mean, covariance and age of the evidence over the nodes, while sales are taken in."""

    mean: list[float]
    cov: list[list[float]]
    age: list[float]

    def take(self, seen: Seen) -> None:
        """One Kalman step."""
        size = len(self.mean)
        row = loads_of(seen, size)
        c = [sum(share * line[k] for k, share in row) for line in self.cov]
        noise = seen.v / max(seen.trust * seen.given, 1e-9)
        whole = sum(share * c[k] for k, share in row) + noise
        gap = (seen.y - sum(share * self.mean[k] for k, share in row)) / whole
        late = (seen.age - sum(share * self.age[k] for k, share in row)) / whole
        self.mean = [m + gap * x for m, x in zip(self.mean, c, strict=True)]
        self.age = [m + late * x for m, x in zip(self.age, c, strict=True)]
        self.cov = [
            [value - x * y / whole for value, y in zip(line, c, strict=True)]
            for line, x in zip(self.cov, c, strict=True)
        ]


def reband(header: Header, row: Row, sale: Sale) -> dict[str, Any]:
    """The row with one more sale, or with a sale of the same number replaced; weight 0 takes it out.

    A sale that cannot be used (no price, no grade) leaves the row as it is.
    """
    usable = isfinite(sale.price) and sale.price > 0 and 1 <= sale.grade <= 70 and isfinite(sale.weight)
    if not usable:
        return dict(row)
    before = [kept for kept in row["sales"] if not sale.id or kept[0] != sale.id]
    fresh = len(before) == len(row["sales"])
    added = [entry_of(sale, min(sale.weight, 1.0))] if sale.weight > 0 else []
    sales = sorted([*added, *before], key=lambda kept: kept[3], reverse=True)
    count = row["n"] + len(added) - (0 if fresh else 1)
    curve = prior_of(header, row)
    for kept in sales[KEEP:]:
        curve.take(look(header, row, kept, curve.mean))
    similar = row["prior"]["similar"] if "prior" in row else [1.0] * len(curve.mean)
    kept_prior = {"mean": _short(curve.mean), "cov": _triangle(curve.cov), "similar": similar}
    seen = settle(header, row, curve, sales[:KEEP])
    return (
        dict(row)
        | banded(header, row, curve)
        | {
            "n": count,
            "newest": sales[0][3] if sales else None,
            "basis": "sales" if count else row["basis"] if row["basis"] != "sales" else "similar",
            "prior": kept_prior,
            "sales": [list(one.kept) for one in seen],
        }
    )


def entry_of(sale: Sale, weight: float) -> list[Any]:
    """A sale as a row keeps it."""
    day = sale.day.isoformat()
    return [
        sale.id,
        sale.grade,
        sale.price,
        day,
        int(sale.raw),
        sale.problem,
        weight,
        sale.venue_kind,
        list(sale.traits),
    ]


def prior_of(header: Header, row: Row) -> Curve:
    """The issue's curve before its kept sales."""
    series = header["series"][row["series"]]
    size = len(header["nodes"])
    if "prior" in row:
        return Curve(list(row["prior"]["mean"]), unpack(row["prior"]["cov"], size), list(series["age"]))
    cov = unpack(series["prior"]["cov"], size)
    wider = [sd / sqrt(max(cov[k][k], 1e-12)) for k, sd in enumerate(row["sd"]["certified"])]
    scaled = [[cov[i][j] * wider[i] * wider[j] for j in range(size)] for i in range(size)]
    return Curve(list(row["mean"]), scaled, list(series["age"]))


def look(header: Header, row: Row, kept: Sequence[Any], curve: Sequence[float]) -> Seen:
    """A kept sale as the model sees it, against the present curve."""
    _, grade, price, day, raw, problem, given, house, traits = kept
    nodes = header["nodes"]
    age = max((date.fromisoformat(header["today"]) - date.fromisoformat(day)).days / 365.25, 0.0)
    drift = header["drift"]
    offset = bend(age, drift["ages"], drift["values"]) + age * header["series"][row["series"]]["pace"]
    offset += header["raw"] if raw else 0.0
    offset += problem_effect(header, (problem,))[0] if problem else 0.0
    offset += effect_of(header, row["series"], traits)[0]
    noise = header["noise"]["raw" if raw else "certified"]
    v = noise * noise * between(header["swing"], place(nodes, grade)) + header["scales"]["rho"] ** 2 * age
    faded = given * exp(-0.7 * max(age - header["years"], 0.0))
    shares = (header["short"].get(house) or header["short"][""]) if raw else (1.0,)
    named = header.get("steps") or IN_USE
    below = [place(nodes, steps_below(grade, step, named)) for step in SHORT_STEPS]
    spots = list(zip(shares, below, strict=False))
    if raw:
        fits = [
            share * (1 + (log(price) - offset - between(curve, spot)) ** 2 / v / FREEDOM) ** -2.5
            for share, spot in spots
        ]
        spots = [(fit / sum(fits), spot) for fit, (_, spot) in zip(fits, spots, strict=True)]
    seen = Seen(kept, spots, log(price) - offset, v, age, offset, faded)
    metal = row.get("metal", 0.0)
    return _without_metal(seen, price, metal, curve) if metal else seen


def settle(header: Header, row: Row, curve: Curve, sales: Sequence[Sequence[Any]]) -> list[Seen]:
    """Take the sales into the curve, with trust found over a few rounds; returns them as seen."""
    start = Curve(list(curve.mean), [list(line) for line in curve.cov], list(curve.age))
    trust = [trust_of(look(header, row, kept, curve.mean), curve) for kept in sales]
    seen: list[Seen] = []
    for _ in range(ROUNDS):
        seen = [look(header, row, kept, curve.mean) for kept in sales]
        curve.mean, curve.cov, curve.age = start.mean, start.cov, start.age
        for one, believed in zip(seen, trust, strict=True):
            one.trust = believed
            curve.take(one)
        trust = [trust_of(one, curve) for one in seen]
    return seen


def banded(header: Header, row: Row, curve: Curve) -> dict[str, Any]:
    """Curves and spreads of both classes from a settled curve."""
    drift = header["scales"]["rho"] ** 2
    unsure = [max(curve.cov[k][k], 1e-8) + drift * max(age, 0.0) for k, age in enumerate(curve.age)]
    more = [max(r * r - c * c, 0.0) for r, c in zip(row["sd"]["raw"], row["sd"]["certified"], strict=True)]
    values = {"certified": unsure, "raw": list(map(add, unsure, more))}
    shifts, metal = {"certified": 0.0, "raw": header["raw"]}, row.get("metal", 0.0)
    curves = {side: _band(header, side, [m + shifts[side] for m in curve.mean], values[side], metal) for side in SIDES}
    return {"curves": curves, "sd": {side: _short(list(map(sqrt, values[side]))) for side in SIDES}}


def _band(header: Header, side: str, eta: list[float], v: list[float], metal: float) -> list[list[float]]:
    """The 10, 50 and 90 per cent curves in log price of a curve and its variances, none falling as the grade rises."""
    noise = [header["noise"][side] * sqrt(swing) for swing in header["swing"]]
    seen = [(over_metal_slope(value, metal) ** 2) * spread for value, spread in zip(eta, v, strict=True)]
    whole = [sqrt(spread + n * n) for spread, n in zip(seen, noise, strict=True)]
    weights = [1.0 / spread for spread in seen]
    middle = rising([over_metal(value, metal) for value in eta], weights)
    checked, lines = header["checked"], []
    for point in range(3):
        misses = [
            bend(n / w, checked["ratio"], [p[point] for p in checked["points"]])
            for n, w in zip(noise, whole, strict=True)
        ]
        line = [m + w * z for m, w, z in zip(middle, whole, misses, strict=True)]
        lines.append(_short(rising(line, weights)))
    return lines


def _without_metal(seen: Seen, price: float, metal: float, curve: Sequence[float]) -> Seen:
    """The price as the collector's part over the metal: one Gauss-Newton step around the present curve."""
    eta = sum(share * between(curve, spot) for share, spot in seen.spots) + seen.offset
    slope = over_metal_slope(eta, metal)
    step = max(-3.0, min(3.0, (log(price) - over_metal(eta, metal)) / slope))
    seen.y, seen.v = eta + step - seen.offset, seen.v / slope**2
    return seen


def trust_of(seen: Seen, curve: Curve) -> float:
    """How far a sale is believed beside this curve: 1 and more as expected, near 0 far off."""
    row = loads_of(seen, len(curve.mean))
    gap = seen.y - sum(share * curve.mean[k] for k, share in row)
    spread = sum(a * b * curve.cov[i][j] for i, a in row for j, b in row)
    return (FREEDOM + 1) / (FREEDOM + (gap * gap + spread) / seen.v)


def loads_of(seen: Seen, size: int) -> list[tuple[int, float]]:
    """How much of each node the sale speaks of."""
    full = [0.0] * size
    for chance, (low, share) in seen.spots:
        full[low] += chance * (1 - share)
        if share:
            full[low + 1] += chance * share
    return [(k, load) for k, load in enumerate(full) if load]


def _triangle(cov: Sequence[Sequence[float]]) -> list[float]:
    return [round(cov[i][j], 7) for i in range(len(cov)) for j in range(i, len(cov))]


def _short(values: Sequence[float]) -> list[float]:
    return [round(value, 5) for value in values]
