"""The rest of the morning: usual lots at usual prices, drawn until each source has its number."""

from __future__ import annotations

import random
from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime, timedelta

from scenario.coins import Coin
from scenario.lots import Plan
from scenario.market import STEPS, lower, value
from scenario.prices import draw_grade, is_certified
from scenario.story import BERLIN, BRANNENTAL_TODAY, LINDMOOR_TODAY, LONDON, NEW_YORK, Cast

COUNT = {"lindmoor": 62, "brannental": 58, "wexby": 74, "ostrell": 42}
MORNING = datetime(2026, 3, 3, 7, 30, tzinfo=BERLIN)
SALES = {
    "lindmoor": (
        LINDMOOR_TODAY,
        datetime(2026, 3, 5, 18, 30, tzinfo=LONDON),
        datetime(2026, 3, 8, 19, 0, tzinfo=LONDON),
        datetime(2026, 3, 12, 13, 0, tzinfo=LONDON),
    ),
    "lindmoor-evening": (datetime(2026, 3, 4, 20, 0, tzinfo=LONDON),),
    "brannental": (
        BRANNENTAL_TODAY,
        datetime(2026, 3, 6, 19, 0, tzinfo=BERLIN),
        datetime(2026, 3, 10, 17, 30, tzinfo=BERLIN),
        datetime(2026, 3, 13, 11, 0, tzinfo=BERLIN),
    ),
}


def fill(rng: random.Random, cast: Cast, told: Sequence[Plan]) -> list[Plan]:
    """Usual lots for every source, a good part of them on wanted issues."""
    out: list[Plan] = []
    for source, count in COUNT.items():
        out += [_usual(rng, cast, source) for _ in range(count - sum(p.source == source for p in told))]
    out += [replace(_usual(rng, cast, "lindmoor-evening"), listed="yesterday") for _ in range(8)]
    gone = [_usual(rng, cast, source) for source in ("wexby",) * 5 + ("brannental",) * 5]
    night = datetime(2026, 3, 2, 20, 0, tzinfo=BERLIN)
    return out + [
        replace(
            p,
            fixed=False,
            kind="honest",
            ratio=0.9,
            listed="yesterday",
            note="ended",
            closes=night + timedelta(minutes=7 * n),
        )
        for n, p in enumerate(gone)
    ]


def _usual(rng: random.Random, cast: Cast, source: str) -> Plan:
    """One honest, dear, over-graded or damaged piece."""
    coin, grade = _piece(rng, cast, source)
    held = rng.choices(("QCG", "HNS"), (6, 4))[0] if is_certified(rng, value(coin, grade)) else ""
    if coin.copied and not held:
        held = "QCG"
    kind = rng.choices(("honest", "over", "problem", "overgraded"), (62, 20, 9, 9))[0]
    if kind == "overgraded" and (held or grade < 15):
        kind = "honest"
    fixed = source == "ostrell" or (source == "wexby" and rng.random() < 0.6)
    plan = Plan(
        source,
        kind,
        coin,
        grade,
        held=held,
        fixed=fixed,
        words=rng.random() < 0.4,
        closes=None if fixed else _closing(rng, source),
        listed="today" if rng.random() < 0.16 else "both",
        weight=_weight(rng, coin, grade) if not held and rng.random() < 0.18 else "",
    )
    return _with_fault(rng, replace(plan, ratio=_ratio(rng, plan)))


def _piece(rng: random.Random, cast: Cast, source: str) -> tuple[Coin, int]:
    """A coin and grade that such a venue would list."""
    least, most = {
        "lindmoor": (70, 2600),
        "lindmoor-evening": (70, 900),
        "brannental": (45, 1500),
        "wexby": (9, 420),
        "ostrell": (7, 600),
    }[source]
    wanted = [w for w in cast.wants if not w.coin.copied]
    while True:
        if rng.random() < 0.14:
            want = rng.choice(wanted)
            low, high = STEPS.index(want.low), STEPS.index(want.high)
            coin, grade = want.coin, STEPS[rng.randrange(max(low - 1, 0), high + 2)]
        else:
            coin = rng.choice(cast.coins)
            grade = draw_grade(rng, coin)
        if least < value(coin, grade) < most and not (coin.copied and source == "wexby"):
            return coin, grade


def _with_fault(rng: random.Random, plan: Plan) -> Plan:
    if plan.kind == "problem":
        return replace(plan, problem=rng.choices(("cleaned", "scratched", "rim damage", "corroded"), (4, 2, 3, 1))[0])
    if plan.kind == "overgraded":
        return replace(plan, stated=plan.grade, grade=lower(plan.grade, 2))
    return plan


def _closing(rng: random.Random, source: str) -> datetime:
    """A place in one of the house's sales, a minute a lot; on the marketplace any evening of the next ten days."""
    if source in SALES:
        start = rng.choices(SALES[source], (2, 3, 3, 2)[: len(SALES[source])])[0]
        return start + timedelta(minutes=rng.randrange(0, 55))
    day = datetime(2026, 3, 3, 11, 0, tzinfo=NEW_YORK) + timedelta(days=rng.randrange(0, 10))
    return day + timedelta(minutes=rng.randrange(0, 11 * 60))


def _ratio(rng: random.Random, plan: Plan) -> float:
    """Fixed prices near the value or well over it; bids climb as the close comes near."""
    if plan.kind == "over":
        return rng.uniform(1.3, 1.75)
    if plan.closes is None:
        return rng.uniform(0.9, 1.1)
    hours = (plan.closes - MORNING).total_seconds() / 3600
    return rng.uniform(0.88, 1.04) if hours < 24 else rng.uniform(0.15, 0.8)


def _weight(rng: random.Random, coin: Coin, grade: int) -> str:
    """A weight a right piece has: the standard, less a little wear."""
    standard, tolerance = float(coin.series.weight_g), float(coin.series.tolerance_g)
    wear = 0.0 if grade >= 60 else 0.003 if grade >= 50 else 0.006 if grade >= 40 else 0.011 if grade >= 20 else 0.018
    return f"{standard * (1 - wear * rng.uniform(0.5, 1)) + tolerance * rng.uniform(-0.5, 0.5):.2f}"
