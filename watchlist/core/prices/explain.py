"""What a band rests on: each sale as it would be today in this grade, how much it counts, and what the rest says."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from math import exp

from watchlist.core.prices.bandmath import bend, between, cholesky, over_metal, place, solve_lower, solve_upper
from watchlist.core.prices.realised import Sale
from watchlist.core.prices.reband import Curve, Seen, entry_of, loads_of, look, prior_of, settle, trust_of
from watchlist.core.prices.traits import effect_of
from watchlist.core.prices.truegrades import Header, Row


@dataclass(frozen=True, slots=True)
class Contribution:
    """One sale's part in a band."""

    sale: int
    grade: float
    price: Decimal
    """As it was seen, home currency."""
    day: date
    raw: bool
    problem: str
    adjusted: Decimal
    """What it says of this grade and class today."""
    weight: float
    """Its share in the middle of the band; a sale of another grade may count a little against."""
    trust: float
    """1 and more: as expected; near 0: so far off that it hardly counts."""


@dataclass(frozen=True, slots=True)
class Explanation:
    """The account of one band, newest sale first."""

    sales: tuple[Contribution, ...]
    similar: float
    """Share of the middle that comes from similar issues."""
    older: float
    """Share that comes from the issue's sales older than those listed, and its guide rows."""
    guide_worth: float
    """How many sales one issue's guide rows count for."""
    drift_five_years: float
    """What this series did over five years: 1.10 is ten per cent up."""
    evidence_age: float
    """Mean age of what the band rests on, in years."""
    curve: tuple[tuple[float, Decimal, Decimal, Decimal], ...]
    """Grade, low, middle, high at every node."""


def explain(header: Header, row: Row, *, grade: float, raw: bool, traits: Sequence[str] = ()) -> Explanation:
    """The account of the band of an issue in one grade, with such traits."""
    start = prior_of(header, row)
    after = prior_of(header, row)
    seen = settle(header, row, after, row["sales"])
    spot = place(header["nodes"], grade)
    weights = _weights(start, seen, spot)
    alone = between(row["prior"]["similar"], spot) if "similar" in row.get("prior", {}) else 1.0
    similar, metal = (1.0 - sum(weights)) * alone, row.get("metal", 0.0)
    here = between(after.mean, spot) + _beyond(header, row, raw, traits)
    drift, scales, noise = header["drift"], header["scales"], header["noise"]
    return Explanation(
        tuple(_contribution(one, after, here, weight, metal) for one, weight in zip(seen, weights, strict=True)),
        similar,
        1.0 - sum(weights) - similar,
        (noise["certified"] / scales["tg"]) ** 2,
        exp(-bend(5.0, drift["ages"], drift["values"]) - 5.0 * header["series"][row["series"]]["pace"]),
        max(between(after.age, spot), 0.0),
        _curve(header, row, "raw" if raw else "certified"),
    )


def _beyond(header: Header, row: Row, raw: bool, traits: Sequence[str]) -> float:
    """What class and traits add to the curve."""
    return (header["raw"] if raw else 0.0) + effect_of(header, row["series"], traits)[0]


def as_today(
    header: Header, row: Row, sales: Sequence[Sale], *, grade: float, raw: bool, traits: Sequence[str] = ()
) -> list[Contribution]:
    """What other sales of the issue say of this grade and class today, and their trust, by the curve as it stands.

    For sales that the row keeps only as a whole, so that the weight of a single one is not known: it is 0 here."""
    curve = prior_of(header, row)
    settle(header, row, curve, row["sales"])
    here = between(curve.mean, place(header["nodes"], grade)) + _beyond(header, row, raw, traits)
    found = []
    for sale in sales:
        seen = look(header, row, entry_of(sale, sale.weight), curve.mean)
        seen.trust = trust_of(seen, curve)
        found.append(_contribution(seen, curve, here, 0.0, row.get("metal", 0.0)))
    return found


def _contribution(seen: Seen, curve: Curve, here: float, weight: float, metal: float) -> Contribution:
    number, grade, price, day, raw, problem, *_ = seen.kept
    loads = loads_of(seen, len(curve.mean))
    gap = seen.y - _seen_by(loads, curve.mean)
    return Contribution(
        number,
        grade,
        Decimal(f"{price:.2f}"),
        date.fromisoformat(day),
        bool(raw),
        problem,
        price_of(over_metal(here + gap, metal)),
        weight,
        seen.trust,
    )


def _weights(prior: Curve, seen: Sequence[Seen], spot: tuple[int, float]) -> list[float]:
    """(H V H' + D)^-1 H V phi: how much each sale moves the middle of the band."""
    if not seen:
        return []
    loads = [loads_of(one, len(prior.mean)) for one in seen]
    reach = [[_seen_by(load, line) for line in prior.cov] for load in loads]
    whole = [[_seen_by(load, mine) for load in loads] for mine in reach]
    for number, one in enumerate(seen):
        whole[number][number] += one.v / max(one.trust * one.given, 1e-9)
    lower = cholesky(whole)
    return solve_upper(lower, solve_lower(lower, [between(mine, spot) for mine in reach]))


def _seen_by(load: Sequence[tuple[int, float]], line: Sequence[float]) -> float:
    """What a sale sees of a line over the nodes."""
    return sum(share * line[node] for node, share in load)


def _curve(header: Header, row: Row, side: str) -> tuple[tuple[float, Decimal, Decimal, Decimal], ...]:
    curves = (map(price_of, curve) for curve in row["curves"][side])
    return tuple(zip(header["nodes"], *curves, strict=False))


def price_of(log_price: float) -> Decimal:
    """The price, to the cent."""
    return Decimal(f"{exp(min(log_price, 40.0)):.2f}")
