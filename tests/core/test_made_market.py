"""Doubts and marks on a made market whose truth is known: every figure in it is invented, with a seed.

Honest lots are offered about their fair value, one in ten anywhere below it; the others, nearly all on copied issues,
mostly cheap, often by new sellers or with a weight that is off. So the market holds what the weights assume; that they
hold on a real one is not shown here.
"""

from __future__ import annotations

import random
from collections import Counter
from dataclasses import dataclass, replace
from decimal import Decimal
from functools import cache
from math import exp

from tests.core.orvany import NOW, RATES, SIGNS, TONGUES, lot
from tests.market import made
from watchlist.core.coins.catalogue import Catalogue
from watchlist.core.fees.terms import Terms
from watchlist.core.lots.record import Lot
from watchlist.core.marks.context import Context
from watchlist.core.marks.mark import judge
from watchlist.core.marks.record import Judgement
from watchlist.core.marks.valuation import SavedMarket
from watchlist.core.marks.wants import WantIndex
from watchlist.core.money.amount import Money
from watchlist.core.prices.bands import MarketState
from watchlist.core.reading.record import Reading
from watchlist.market import Measure, fit

LOTS = 1500
FAKES = 0.12


@dataclass(frozen=True)
class Told:
    """One lot, what it truly is, and what the program makes of it."""

    fake: bool
    worth: float
    """True value over the cost."""
    found: Judgement


def offered(chance: random.Random, key: str, worth: float, *, fake: bool) -> Lot:
    """A lot at a price that such a seller would ask."""
    cheap = chance.random() < (0.95 if fake else 0.1)
    price = worth * exp(chance.uniform(-2.3 if fake else -1.2, 0) if cheap else chance.gauss(0.05, 0.2))
    feedback = chance.randint(0, 9) if chance.random() < (0.5 if fake else 0.05) else chance.randint(10, 5000)
    weight = (
        27.2 * (1 + chance.gauss(0, 0.003)) if not fake or chance.random() < 0.5 else 27.2 * chance.uniform(0.9, 0.96)
    )
    stated = chance.random() < 0.3
    piece = lot(1, feedback=feedback, weight_g=round(weight, 1) if stated else None, weight_step_g=0.1)
    return replace(piece, key=key, price=Money(Decimal(f"{max(price, 1):.2f}"), "EUR"))


@cache
def judged() -> tuple[Told, ...]:
    """All lots of the made market."""
    chance = random.Random(7)
    market = made.market(11, issues=150, sales=2500, later=0)
    copied = {issue.key for issue in chance.sample(market.issues, 20)}
    issues = [replace(i, copied=i.key in copied, weight_g=27.2, metal="silver .900") for i in market.issues]
    fitted = fit(issues, market.sales, [], Measure(made.TODAY, "all-in", "EUR", 5.0))
    saved = SavedMarket(MarketState(fitted.header, fitted.rows.get))
    wexby = Terms("Wexby Coin Market", "EUR", kind="marketplace")
    context = Context(
        Catalogue(issues, TONGUES), WantIndex([], TONGUES), saved, RATES, SIGNS, NOW, {wexby.venue: wexby}
    )
    told: list[Told] = []
    for number in range(LOTS):
        fake = chance.random() < FAKES
        issue = chance.choice([i for i in issues if i.copied] if fake and chance.random() < 0.9 else issues)
        grade = chance.choice((12, 20, 30, 40, 45, 55))
        worth = exp(market.truth(issue.key, grade))
        piece = offered(chance, f"h:{number}", worth, fake=fake)
        said = Reading(
            "made",
            issue.country,
            issue.denomination,
            issue.year,
            mint=issue.mint or None,
            grade_low=grade,
            grade_high=grade,
            confidence=0.9,
            kind="coin",
        )
        found = judge(piece, said, context)
        assert piece.price is not None
        told.append(Told(fake, 0.0 if fake else worth / float(piece.price.amount), found))
    return tuple(told)


def test_caution_catches_most_and_seldom_alarms() -> None:
    told = judged()
    fakes = sum(one.fake for one in told)
    for level, least in (("query", 0.75), ("caution", 0.85), ("strong", 0.9)):
        reach = ("query", "caution", "strong").index(level)
        caught = [one for one in told if one.found.doubt.level in ("query", "caution", "strong")[reach:]]
        right = sum(one.fake for one in caught)
        false = 100 * (len(caught) - right) / (len(told) - fakes)
        print(
            f"{level}: precision {right / len(caught):.2f}, recall {right / fakes:.2f}, {false:.2f} false of 100 honest"
        )
        assert right / len(caught) >= least
    assert Counter(one.found.issue is None for one in told)[False] == len(told)


def test_most_bargains_are_true() -> None:
    told = judged()
    bargains = [one for one in told if one.found.mark == "bargain"]
    true = [one for one in bargains if one.worth >= 1 / 0.8 * 0.95]
    print(f"bargain: {len(bargains)} marked, precision {len(true) / len(bargains):.2f}")
    assert len(true) / len(bargains) >= 0.6
    assert sum(one.fake for one in bargains) <= 0.1 * len(bargains)
