"""Four venues with their terms, and the exchange rates: an invented path, near what such currencies do."""

from __future__ import annotations

import json
import math
import random
from dataclasses import dataclass
from datetime import date
from decimal import ROUND_HALF_UP, Decimal

CENT = Decimal("0.01")
D = Decimal


@dataclass(frozen=True, slots=True)
class Venue:
    """A venue's terms as the person would type them from its conditions of sale."""

    name: str
    kind: str
    currency: str
    zone: str
    tiers: tuple[tuple[Decimal | None, Decimal], ...]
    """Marginal tiers of the buyer's premium: up to (None: no end), per cent."""
    internet: Decimal
    vat: Decimal
    post: Decimal
    insurance: Decimal
    card: Decimal
    steps: tuple[tuple[int, int], ...]
    """Increments: from, step."""


LINDMOOR = Venue(
    "Lindmoor Sales",
    "auction",
    "GBP",
    "Europe/London",
    ((D(500), D(24)), (D(5000), D(20)), (None, D(15))),
    D(3),
    D(20),
    D(14),
    D(1),
    D(0),
    ((0, 2), (50, 5), (100, 10), (300, 20), (500, 25), (1000, 50), (3000, 100)),
)
BRANNENTAL = Venue(
    "Brannental Auctions",
    "auction",
    "EUR",
    "Europe/Berlin",
    ((None, D(20)),),
    D(0),
    D(19),
    D("9.80"),
    D(0),
    D(0),
    ((0, 1), (50, 5), (100, 10), (500, 25), (1000, 50), (2500, 100)),
)
WEXBY = Venue(
    "Wexby Coin Market",
    "marketplace",
    "USD",
    "America/New_York",
    (),
    D(0),
    D(0),
    D("4.50"),
    D(0),
    D("1.5"),
    ((0, 1), (25, 2), (100, 5), (500, 10), (1000, 25)),
)
OSTRELL = Venue("Ostrell Coins", "dealer", "EUR", "Europe/Vienna", (), D(0), D(0), D("3.90"), D(0), D(0), ((0, 1),))
VENUES = (LINDMOOR, BRANNENTAL, WEXBY, OSTRELL)


class Rates:
    """Units of a currency for one euro, by month."""

    def __init__(self, rng: random.Random) -> None:
        self.rows: dict[tuple[str, str], Decimal] = {}
        walk = {"GBP": math.log(0.862), "USD": math.log(1.115)}
        home = dict(walk)
        for n in range(73):
            month = f"{2020 + (n + 2) // 12}-{(n + 2) % 12 + 1:02d}"
            for currency in walk:
                pull = 0.08 * (home[currency] - walk[currency])
                walk[currency] += pull + rng.gauss(0, 0.011)
                self.rows[currency, month] = D(math.exp(walk[currency])).quantize(D("0.0001"))

    def per_euro(self, currency: str, day: date) -> Decimal:
        """Units of the currency for one euro in the month of a day."""
        return D(1) if currency == "EUR" else self.rows[currency, day.isoformat()[:7]]

    def table(self) -> list[dict[str, str]]:
        """Rows of rates.csv."""
        return [{"month": m, "currency": c, "units_per_EUR": str(r)} for (c, m), r in self.rows.items()]


def _cent(amount: Decimal) -> Decimal:
    return amount.quantize(CENT, ROUND_HALF_UP)


def _premium(venue: Venue, hammer: Decimal) -> Decimal:
    total, start = D(0), D(0)
    for end, pct in venue.tiers:
        top = hammer if end is None else min(hammer, end)
        total += max(top - start, D(0)) * pct / 100
        start = end or start
    return _cent(total)


def all_in(venue: Venue, hammer: Decimal, units_per_euro: Decimal) -> Decimal:
    """What the buyer pays in the end, in euro. Each line is rounded to the cent, in the order of an invoice."""
    premium = _premium(venue, hammer)
    internet = _cent(hammer * venue.internet / 100)
    vat = _cent((premium + internet) * venue.vat / 100)
    insurance = _cent((hammer + premium) * venue.insurance / 100)
    home = _cent((hammer + premium + internet + vat + venue.post + insurance) / units_per_euro)
    return home + _cent(home * venue.card / 100)


def hammer_for(venue: Venue, cost: float, units_per_euro: Decimal) -> Decimal:
    """The hammer price, to the cent, whose all-in cost is nearest below; one unit at least."""
    low, high = D(0), D(math.ceil(cost)) * units_per_euro
    while high - low > CENT:
        middle = _cent((low + high) / 2)
        if all_in(venue, middle, units_per_euro) <= cost:
            low = middle
        else:
            high = middle
    return max(low, D(1))


def on_rung(venue: Venue, amount: Decimal) -> Decimal:
    """The increment of the venue nearest to an amount, one step at least."""
    step = D(max(s for start, s in venue.steps if start <= amount))
    return max((amount / step).to_integral_value(ROUND_HALF_UP) * step, step)


def terms_rows() -> list[dict[str, str]]:
    """Rows of terms.csv; a flat premium as a percentage, tiers as a JSON cell."""
    return [_terms_row(v) for v in VENUES]


def _terms_row(v: Venue) -> dict[str, str]:
    tiered = len(v.tiers) > 1
    premium = {"kind": "tiers_marginal", "tiers": [[None if e is None else str(e), str(p)] for e, p in v.tiers]}
    cell = {
        "premium": json.dumps(premium) if tiered else "",
        "premium_pct": "" if tiered or not v.tiers else str(v.tiers[0][1]),
        "internet_fee_pct": v.internet,
        "vat_on_premium_pct": v.vat,
        "shipping": v.post,
        "insurance_pct": v.insurance,
        "payment_fee_pct": v.card,
    }
    return {
        "venue": v.name,
        "kind": v.kind,
        "currency": v.currency,
        **{name: str(x) if x else "" for name, x in cell.items()},
        "bid_steps": "" if v.kind == "dealer" else ";".join(f"{a}:{s}" for a, s in v.steps),
        "time_zone": v.zone,
    }
