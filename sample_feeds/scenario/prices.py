"""Prices realised over six years, a small guide of one's own, and the want-list."""

from __future__ import annotations

import math
import random
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal

from scenario.coins import COUNTRY, Coin
from scenario.market import FIRST_DAY, PROBLEMS, TODAY, lower, noise, true_grade, value
from scenario.venues import BRANNENTAL, LINDMOOR, OSTRELL, WEXBY, Rates, Venue, hammer_for, on_rung

GRADES = (4, 6, 8, 10, 12, 15, 20, 25, 30, 35, 40, 45, 50, 53, 55, 58, 60, 61, 62, 63, 64, 65, 66, 67)
WORN = (2, 2, 4, 4, 6, 5, 9, 7, 9, 6, 9, 7, 6, 3, 5, 5, 2, 2, 5, 6, 5, 3, 1.2, 0.3)
BRIGHT = (0, 0, 1, 0, 1, 1, 2, 1, 2, 2, 3, 3, 3, 2, 3, 6, 4, 5, 14, 18, 17, 12, 5, 1)
GERMAN = (
    (4, 12, "s"),
    (15, 15, "f.ss"),
    (20, 35, "ss"),
    (35, 35, "ss+"),
    (40, 45, "ss-vz"),
    (45, 55, "vz"),
    (58, 58, "vz-st"),
    (60, 63, "unz"),
    (64, 70, "st"),
)
ENGLISH = ((4, 6, "G"), (8, 10, "VG"), (12, 15, "F"), (20, 35, "VF"), (40, 45, "XF"), (50, 58, "AU"), (60, 63, "UNC"))
VENUE_EFFECT = {
    "Lindmoor Sales": 0.02,
    "Brannental Auctions": 0.0,
    "Wexby Coin Market": -0.04,
    "Ostrell Coins": 0.07,
}


def letters(grade: int) -> str:
    """Adjective of a grade number: 30 is VF."""
    names = ((60, "MS"), (50, "AU"), (40, "XF"), (20, "VF"), (12, "F"), (8, "VG"), (4, "G"), (0, "AG"))
    return next(name for floor, name in names if grade >= floor)


def word_for(grade: int, table: tuple[tuple[int, int, str], ...]) -> str:
    """A word whose band holds the grade, or the number where no word does."""
    return next((w for low, high, w in table if low <= grade <= high), f"{letters(grade)}-{grade}")


def certificate(rng: random.Random, service: str) -> str:
    """A certificate number in the service's own pattern: `Q418-2907`, `48.120.44H`."""
    if service == "QCG":
        number = rng.randrange(20_000_000, 89_999_999)
        return f"Q{number // 100_000}-{number % 10_000:04d}"
    number = rng.randrange(2_000_000, 6_999_999)
    return f"{number // 100_000}.{number // 100 % 1000:03d}.{rng.randrange(1, 60):02d}H"


@dataclass(frozen=True, slots=True)
class Sold:
    """One row of prices.csv while it is still numbers."""

    coin: Coin
    day: date
    venue: Venue
    stated: int
    service: str
    cert: str
    problem: str
    hammer: Decimal


def draw_venue(rng: random.Random, worth: float) -> Venue:
    """Cheap pieces are sold by dealers and on the marketplace, dear ones at auction."""
    shares = (0, 0, 6, 4) if worth < 45 else (2, 4, 3, 2) if worth < 120 else (5, 4, 3, 1)
    return rng.choices((LINDMOOR, BRANNENTAL, WEXBY, OSTRELL), shares)[0]


def draw_grade(rng: random.Random, coin: Coin) -> int:
    """Grades as they turn up; a hoarded issue is mostly bright."""
    return rng.choices(GRADES, BRIGHT if coin.hoarded else WORN)[0]


def is_certified(rng: random.Random, worth: float) -> bool:
    """The dearer a piece, the more likely a service holds it."""
    return rng.random() < (0.08 if worth < 30 else 0.3 if worth < 100 else 0.55 if worth < 400 else 0.72)


def listed_price(venue: Venue, amount: Decimal) -> Decimal:
    """A price as the venue would print it: on a rung, with an end in 9s, or whole."""
    if venue.kind == "auction":
        return on_rung(venue, amount)
    if venue.kind == "dealer":
        return Decimal(max(2, round(float(amount) / 5) * 5 if amount > 100 else round(float(amount))))
    return Decimal(math.floor(amount)) + Decimal("0.99") if amount < 100 else Decimal(round(float(amount)))


def _sale(rng: random.Random, coin: Coin, rates: Rates) -> Sold:
    day = FIRST_DAY + timedelta(days=rng.randrange((TODAY - FIRST_DAY).days))
    stated = draw_grade(rng, coin)
    worth = value(coin, stated, day)
    venue, held = draw_venue(rng, worth), is_certified(rng, worth)
    service = rng.choices(("QCG", "HNS"), (6, 4))[0] if held else ""
    problem = rng.choices(tuple(PROBLEMS), (9, 5, 5, 3, 2, 1))[0] if rng.random() < 0.07 else ""
    truth = stated if held else true_grade(rng, stated, venue.kind)
    luck = noise(rng, 0.11 if held else 0.15) + (rng.gauss(0, 0.2) if problem else 0) + VENUE_EFFECT[venue.name]
    cost = value(coin, truth, day, raw=not held, problem=problem) * math.exp(luck)
    hammer = listed_price(venue, hammer_for(venue, cost, rates.per_euro(venue.currency, day)))
    return Sold(coin, day, venue, stated, service, certificate(rng, service) if held else "", problem, hammer)


def sales(rng: random.Random, coins: list[Coin], rates: Rates) -> list[Sold]:
    """Two thousand sales and more: many issues often, some a few times, some never."""
    out = []
    for coin in coins:
        busy = rng.choice((0, 1, 2, 4, 8, 12, 16, 20, 26, 34))
        busy = max(busy, 14) if coin.copied or coin.hoarded else busy
        out += [_sale(rng, coin, rates) for _ in range(busy + rng.randrange(0, 6))]
    return sorted(out, key=lambda s: (s.day, s.coin.key, s.hammer))


def _grade_cell(rng: random.Random, sold: Sold) -> str:
    if sold.service:
        word = letters(sold.stated)
        return f"{word.replace('MS', 'UNC')} Details" if sold.problem else f"{word}-{sold.stated}"
    if sold.venue is BRANNENTAL:
        return word_for(sold.stated, GERMAN)
    return word_for(sold.stated, ENGLISH) if rng.random() < 0.4 else str(sold.stated)


def _row(rng: random.Random, sold: Sold) -> dict[str, str]:
    c = sold.coin
    mark = f"{c.year}{'-' + c.mint if c.mint else ''}{' ' + c.variety if c.variety else ''}"
    return {
        "sale_date": sold.day.isoformat(),
        "country": COUNTRY,
        "denomination": c.denomination,
        "year": str(c.year),
        "mint": c.mint,
        "variety": c.variety,
        "grade": _grade_cell(rng, sold),
        "certified": sold.service,
        "cert_number": sold.cert,
        "problem": sold.problem,
        "hammer": str(sold.hammer),
        "currency": sold.venue.currency,
        "source": sold.venue.name,
        "status": "sold",
        "title": f"{c.denomination} {mark}" if rng.random() < 0.15 else "",
        "quantity": "1",
    }


def price_rows(rng: random.Random, sold: list[Sold]) -> list[dict[str, str]]:
    """Rows of prices.csv, with the dirt of a real file: lots of many, unsold, resales, a repeat, a tenfold slip."""
    rows = [_row(rng, s) for s in sold]
    for n in rng.sample(range(len(rows)), 44):
        rows[n].update(status="unsold")
    for n in rng.sample([n for n, s in enumerate(sold) if not s.service and s.hammer < 40], 36):
        many = rng.choice((3, 5, 10))
        rows[n].update(
            quantity=str(many),
            title=f"Lot of {many}: {rows[n]['denomination']} {rows[n]['year']}",
            hammer=str(round(sold[n].hammer * many * Decimal(".8"))),
        )
    plain = [n for n, s in enumerate(sold) if s.hammer > 20 and rows[n]["quantity"] == "1" and not s.problem]
    repeat, slip = rng.sample(plain, 2)
    slipped = {**rows[slip], "hammer": str(Decimal(rows[slip]["hammer"]) * 10)}
    rows += [dict(rows[repeat]), slipped, *_resales(rng, sold, rows)]
    return sorted(rows, key=lambda r: r["sale_date"])


def _resales(rng: random.Random, sold: list[Sold], rows: list[dict[str, str]]) -> list[dict[str, str]]:
    """Honest resales: the same holder in the same grade again, a year or so later."""
    old = [n for n, s in enumerate(sold) if s.service and not s.problem and s.day < date(2024, 6, 1)]
    return [
        {
            **rows[n],
            "title": "",
            "status": "sold",
            "sale_date": (sold[n].day + timedelta(days=rng.randrange(300, 600))).isoformat(),
        }
        for n in rng.sample(old, 8)
    ]


def guide_rows(rng: random.Random, coins: list[Coin]) -> list[dict[str, str]]:
    """Rows of guide.csv: one's own notes of 2024, a tenth above the market and rounded as notes are."""
    noted = rng.sample([c for c in coins if not c.variety], 40)
    rows = []
    for coin in sorted(noted, key=lambda c: c.key):
        for low_grade, high_grade in ((8, 12), (20, 30), (40, 45), (60, 63)):
            low = _round(value(coin, low_grade, date(2024, 6, 30)) * rng.uniform(0.95, 1.1))
            high = max(_round(value(coin, high_grade, date(2024, 6, 30)) * rng.uniform(1.1, 1.25)), low + 1)
            rows.append(
                {
                    "country": COUNTRY,
                    "denomination": coin.denomination,
                    "year": str(coin.year),
                    "mint": coin.mint,
                    "variety": coin.variety,
                    "min_grade": str(low_grade),
                    "max_grade": str(high_grade),
                    "low": str(low),
                    "high": str(high),
                    "currency": "EUR",
                    "date": "2024-06-30",
                }
            )
    return rows


def _round(amount: float) -> int:
    step = 1 if amount < 50 else 5 if amount < 200 else 10 if amount < 1000 else 50
    return max(round(amount / step) * step, 1)


@dataclass(frozen=True, slots=True)
class Want:
    """One want with what it accepts."""

    id: str
    coin: Coin
    low: int
    high: int
    certified: bool
    ceiling: int
    row: dict[str, str]

    def near_miss(self, grade: int) -> int:
        """A grade one step under the floor."""
        return lower(min(grade, self.low), 1)


def wants(rng: random.Random, coins: list[Coin], count: dict[str, int]) -> list[Want]:
    """Thirty wants: the scarce dates first, then a collector's taste in the branch mints."""
    known = [c for c in coins if c.copied or c.hoarded or c.variety == "overdate 7/6" or c.variety == "small date"]
    rest = [c for c in coins if c not in known and 30 < value(c, 30) < 420]
    chosen = known + sorted(rng.sample(rest, 30 - len(known)), key=lambda c: c.key)
    return [_want(rng, n, coin, count) for n, coin in enumerate(chosen, 1)]


def _want(rng: random.Random, n: int, coin: Coin, count: dict[str, int]) -> Want:
    low, high = (
        rng.choice(((62, 65), (60, 64)))
        if coin.hoarded
        else rng.choice(((12, 30), (20, 40), (20, 45), (30, 50), (40, 58), (45, 62)))
    )
    certified = n in (3, 5, 11, 18)
    middle = value(coin, lower(high, 2), raw=not certified)
    ceiling = _round(middle * rng.uniform(0.9, 1.05))
    own = count.get(coin.key, 0) < 6 and n % 2 == 0
    row = {
        "want_id": f"w{n:02d}",
        "country": COUNTRY,
        "denomination": coin.denomination,
        "year": str(coin.year),
        "mint": coin.mint,
        "variety": coin.variety,
        "min_grade": f"{letters(low)}-{low}" if n % 3 else str(low),
        "max_grade": str(high),
        "certified": "yes" if certified else "any",
        "ceiling": str(ceiling),
        "ceiling_currency": "EUR",
        "low": str(_round(middle * 0.75)) if own else "",
        "high": str(_round(middle * 1.3)) if own else "",
        "quantity": "1",
        "upgrade": "yes" if n == 7 else "",
        "priority": str(rng.choices((1, 2, 3), (3, 5, 4))[0]),
        "note": "have one in VF-20, a better one only" if n == 7 else "",
    }
    return Want(f"w{n:02d}", coin, low, high, certified, ceiling, row)
