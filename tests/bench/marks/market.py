"""A made market of lots whose truth is known: what each piece is, what it is worth, and whether it is right.

Every figure is invented and comes from a seed. It is built otherwise than the model that it judges: values follow a
bent line of wear, each piece has its own appeal, sellers name grades by their own list and by words, and those who sell
what is not right hide it well or badly. `KINDS` are the markets of docs/marks.md.
"""

from __future__ import annotations

from bisect import bisect_left
from dataclasses import dataclass, field, replace
from datetime import UTC, date, datetime, timedelta
from math import exp, log
from random import Random
from typing import Any

from watchlist.core.coins.issue import Issue

NOW = datetime(2026, 3, 2, 9, 0, tzinfo=UTC)
TODAY = date(2026, 3, 2)
FINE = (4, 6, 8, 10, 12, 15, 20, 25, 30, 35, 40, 45, 50, 55, 58, 60, 62, 63, 64, 65, 66)
COARSE = (4, 8, 12, 20, 30, 40, 50, 60, 63, 65)
WORDS = (("G", 4, 6), ("VG", 8, 10), ("F", 12, 15), ("VF", 20, 35), ("XF", 40, 45), ("AU", 50, 58), ("Unc", 60, 63))
"""What sellers write for a grade, with the numbers that it stands for."""
TALK = (
    "Not sure if it is genuine.",
    "Sold as is, no returns, found in a drawer.",
    "No returns.",
    "It looks real to me, sold as is.",
)
STOCK = "Stock photo."
PROBLEMS = {"cleaned": 0.6, "scratched": 0.62, "rim_damage": 0.7, "holed": 0.27, "env_damage": 0.5}


@dataclass(frozen=True)
class Ways:
    """How a market behaves."""

    series: int = 4
    issues: int = 200
    sales: int = 2400
    lots: int = 1400
    named: tuple[int, ...] = FINE
    short: tuple[float, float, float] = (0.55, 0.32, 0.13)
    """Shares of raw pieces that lie 0, 1 and 2 named grades under what their seller says."""
    worded: float = 0.35
    """Share of raw pieces whose grade is a word."""
    ungraded: float = 0.03
    swing: float = 0.17
    """Spread of one sale around the value."""
    appeal: float = 0.06
    """Spread of pieces of one issue and grade."""
    odd: float = 0.15
    """More of it among pieces with a problem."""
    slips: float = 0.01
    hidden: float = 0.04
    fakes: float = 0.08
    signs: float = 1.0
    """How often a fake shows each of its signs, against a usual market."""
    bare: float = 0.0
    """Share of venues without terms."""
    traits: bool = False
    """Strike, colour, state of the date, service and the rest move the value."""
    details: float = 0.3
    """Share of certified pieces with a problem whose holder says `details` too."""


KINDS: dict[str, Ways] = {
    "plain": Ways(),
    "weak fakes": Ways(signs=0.5, fakes=0.06),
    "other grading": Ways(named=COARSE, short=(0.4, 0.36, 0.24), worded=0.6),
    "noise": Ways(swing=0.27, slips=0.04, appeal=0.09),
    "thin archive": Ways(sales=240),
    "no terms": Ways(bare=0.5),
    "ungraded": Ways(ungraded=0.3, worded=0.7),
    "traits": Ways(traits=True, sales=3000),
}
"""The markets of the table."""

TRAITS: dict[str, dict[str, float]] = {
    "colour": {"RD": 0.42, "RB": 0.14, "BN": -0.10},
    "strike": {"sharp": 0.16, "weak": -0.20},
    "date_state": {"readable": 0.12, "partial": -0.38, "gone": -1.0},
    "prooflike": {"PL": 0.22},
    "cameo": {"CAM": 0.3},
    "plus": {"+": 0.13},
    "service": {"QCG": 0.06, "HNS": -0.06},
}
"""What truly moves a value there, in log, before each series' own luck."""


@dataclass
class Piece:
    """One piece as it is and as it is told."""

    issue: Issue
    true: int
    raw: bool
    problem: str = ""
    told_low: int | None = None
    told_high: int | None = None
    told_word: str = ""
    told_problem: bool = True
    traits: dict[str, str] = field(default_factory=dict)
    told_traits: dict[str, str] = field(default_factory=dict)
    worth: float = 0.0
    """What it brings on a usual day, all in."""
    details: bool = False


@dataclass
class Offer:
    """One lot with its truth."""

    key: str
    piece: Piece
    fake: bool
    cost: float
    """What it costs all in at the price now."""
    kind: str
    """fixed, so far or ended."""
    hours: float | None
    venue: str
    seller: str
    ratings: int
    talk: str = ""
    weight: float | None = None
    number: str = ""
    date_missing: bool = False
    """Its year and mint are in no catalogue."""


@dataclass
class Past:
    """One sale of the archive."""

    piece: Piece
    price: float
    day: date
    number: str = ""


@dataclass
class World:
    """A market, whole."""

    ways: Ways
    issues: list[Issue]
    past: list[Past]
    offers: list[Offer]
    venues: dict[str, tuple[str, bool]]
    """Name to its kind, and whether its terms are known."""


class Maker:
    """Makes one market from a seed."""

    def __init__(self, ways: Ways, seed: int) -> None:
        self.ways, self.chance = ways, Random(seed * 7919 + 13)
        c = self.chance
        self.levels = [c.gauss(3.9, 0.6) for _ in range(ways.series)]
        self.bends = [c.uniform(0.85, 1.2) for _ in range(ways.series)]
        self.rise = c.gauss(0.03, 0.02)
        self.luck = [
            {kind: {word: c.gauss(0, 0.09) for word in words} for kind, words in TRAITS.items()}
            for _ in range(ways.series)
        ]
        self.own: dict[str, tuple[float, float]] = {}
        self.issues = [self._issue(number) for number in range(ways.issues)]
        self.numbers = 1000

    def world(self) -> World:
        """All of it."""
        ways = self.ways
        weights = [1 / (1 + 0.15 * n) for n in range(len(self.issues))]
        order = self.chance.sample(self.issues, len(self.issues))
        past = [self._past(self.chance.choices(order, weights)[0]) for _ in range(ways.sales)]
        venues = {
            "Lindmoor Rooms": ("auction", True),
            "Wexby Fair": ("marketplace", True),
            "Ostrell Shop": ("dealer", True),
            "Brannental Rooms": ("auction", ways.bare <= 0),
            "Brundal Market": ("marketplace", ways.bare <= 0),
        }
        offers = [self._offer(f"m:{n}", past) for n in range(ways.lots)]
        return World(ways, self.issues, past, offers, venues)

    def _issue(self, number: int) -> Issue:
        c, s = self.chance, number % self.ways.series
        scarce = c.gauss(0, 1.0)
        key = f"s{s}-{number}"
        level = self.levels[s] + 0.5 * scarce + 0.1 * max(scarce - 1, 0) ** 2 + c.gauss(0, 0.16)
        self.own[key] = level, self.bends[s] * c.gauss(1, 0.07)
        return Issue(
            key,
            "Orvany",
            ("1 tor", "5 tor", "10 lind", "20 lind")[s % 4],
            1870 + number // self.ways.series,
            ("", "M", "V")[number % 3],
            type=f"type {s}",
            mintage=int(exp(13 - scarce * 1.05)),
            metal="bronze" if s == 0 else "silver .835",
            weight_g=(5.4, 27.2, 10.1, 20.4)[s % 4],
            weight_tolerance_g=(0.12, 0.1, 0.08, 0.1)[s % 4],
            copied=c.random() < 0.13,
        )

    def log_value(self, issue: Issue, grade: float) -> float:
        """Of a certified piece without any trait or problem, on the day."""
        level, bend = self.own[issue.key]
        wear = 1.6 * (grade / 60) ** 1.15 if grade <= 60 else 1.6 + 0.16 * (grade - 60) + 0.035 * (grade - 60) ** 2
        return level + bend * (wear - 0.9)

    def _piece(self, issue: Issue) -> Piece:
        c, named = self.chance, self.ways.named
        weights = [2 if g <= 45 else 1.6 if g < 60 else 1.2 for g in named]
        told = c.choices(named, weights)[0]
        raw = c.random() < 0.55
        steps = c.choices((0, 1, 2), self.ways.short)[0] if raw else 0
        true = named[max(named.index(told) - steps, 0)]
        piece = Piece(issue, true, raw, told_low=told, told_high=told)
        if raw and c.random() < self.ways.worded:
            word = next((w for w in WORDS if w[1] <= told <= w[2]), None)
            if word:
                piece.told_word, piece.told_low, piece.told_high = word
        if c.random() < 0.07:
            piece.problem = c.choice(list(PROBLEMS))
            piece.details = not raw and c.random() < self.ways.details
        elif raw and c.random() < self.ways.hidden:
            piece.problem, piece.told_problem = c.choice(list(PROBLEMS)), False
        if self.ways.traits:
            self._give_traits(piece)
        piece.worth = exp(self._log_worth(piece))
        return piece

    def _log_worth(self, piece: Piece) -> float:
        c, ways = self.chance, self.ways
        value = self.log_value(piece.issue, piece.true) - (0.06 if piece.raw else 0.0)
        value += c.gauss(0, ways.appeal)
        if piece.problem:
            value += log(PROBLEMS[piece.problem]) + c.gauss(0, ways.odd)
        own = self.luck[int(piece.issue.key[1 : piece.issue.key.index("-")])]
        return value + sum(TRAITS[kind][word] + own[kind][word] for kind, word in piece.traits.items())

    def _give_traits(self, piece: Piece) -> None:
        c, series = self.chance, piece.issue.key[:2]
        found: dict[str, str] = {}
        if series == "s0" and piece.true >= 50:
            found["colour"] = c.choices(("RD", "RB", "BN"), (2, 4, 5))[0]
        if series in ("s1", "s2") and c.random() < 0.35:
            found["strike"] = c.choice(("sharp", "weak"))
        if series == "s3" and piece.true <= 15:
            found["date_state"] = c.choices(("readable", "partial", "gone"), (6, 3, 1))[0]
        if piece.true >= 60 and c.random() < 0.1:
            found["prooflike"] = "PL"
        elif piece.true >= 60 and c.random() < 0.05:
            found["cameo"] = "CAM"
        if not piece.raw:
            found["service"] = c.choice(("QCG", "HNS"))
            if piece.true >= 45 and c.random() < 0.12:
                found["plus"] = "+"
        piece.traits = found
        sure = ("service", "plus")
        piece.told_traits = {kind: word for kind, word in found.items() if kind in sure or c.random() < 0.65}

    def _past(self, issue: Issue) -> Past:
        c, piece = self.chance, self._piece(issue)
        age = 5 * c.random()
        swing = self.ways.swing * c.gauss(0, 1) / (c.gammavariate(3, 1 / 3) ** 0.5)
        price = piece.worth * exp(swing - self.rise * age)
        if c.random() < self.ways.slips:
            price *= c.uniform(3, 10) ** c.choice((-1, 1))
        number = self._number() if not piece.raw else ""
        return Past(piece, max(round(price, 2), 0.5), TODAY - timedelta(days=int(age * 365)), number)

    def _number(self) -> str:
        self.numbers += 1
        return f"Q{self.numbers % 977:03d}-{self.numbers}"

    def _offer(self, key: str, past: list[Past]) -> Offer:
        c, ways = self.chance, self.ways
        fake = c.random() < ways.fakes
        issues = [issue for issue in self.issues if issue.copied] if fake and c.random() < 0.85 else self.issues
        piece = self._piece(c.choice(issues))
        if c.random() < ways.ungraded:
            piece.told_low = piece.told_high = None
            piece.told_word = ""
        if fake:
            return self._crooked(key, piece, past)
        kind = c.choices(("fixed", "near", "far", "ended"), (50, 14, 20, 16))[0]
        drawn = c.uniform(-1.1, 0) if c.random() < 0.13 else c.gauss(0.05, 0.2)
        final = piece.worth * exp(drawn)
        cost = final * (c.uniform(0.7, 1) if kind == "near" else c.uniform(0.1, 0.8) if kind == "far" else 1)
        rooms = c.choice(("Lindmoor Rooms", "Brannental Rooms"))
        shop = c.choices(("Wexby Fair", "Brundal Market", "Ostrell Shop"), (3, 3, 4))[0]
        offer = Offer(
            key,
            piece,
            fake=False,
            cost=cost,
            kind={"fixed": "fixed", "ended": "ended"}.get(kind, "so far"),
            hours={"near": c.uniform(1, 22), "far": c.uniform(30, 200), "ended": -c.uniform(2, 20)}.get(kind),
            venue=shop if kind == "fixed" else rooms,
            seller=f"seller {c.randint(1, 120)}",
            ratings=c.randint(0, 9) if c.random() < 0.06 else c.randint(10, 4000),
        )
        self._honest_words(offer)
        offer.number = self._honest_number(piece, past)
        return offer

    def _honest_words(self, offer: Offer) -> None:
        c = self.chance
        offer.talk = c.choice(TALK[1:]) if c.random() < 0.035 else STOCK if c.random() < 0.02 else ""
        if c.random() < 0.25 and not offer.piece.problem:
            spec = offer.piece.issue.weight_g or 1.0
            wear = spec * 0.02 * max(0.0, 1 - offer.piece.true / 55) * c.random()
            offer.weight = spec + c.gauss(0, 0.035) - wear
        offer.date_missing = c.random() < 0.002

    def _honest_number(self, piece: Piece, past: list[Past]) -> str:
        if piece.raw:
            return ""
        same = [each.number for each in past if each.piece.issue is piece.issue and each.piece.true == piece.true]
        numbers = [number for number in same if number]
        return self.chance.choice(numbers) if numbers and self.chance.random() < 0.05 else self._number()

    def _crooked(self, key: str, piece: Piece, past: list[Past]) -> Offer:
        """A piece that is not right: how cheap, who sells it, what gives it away."""
        c, part = self.chance, self.ways.signs
        kind = c.choices(("fixed", "near", "far", "ended"), (62, 12, 14, 12))[0]
        cheap = c.random() < 0.4 + 0.45 * part
        cost = piece.worth * exp(c.uniform(log(0.1), -0.1) if cheap else c.gauss(0.03, 0.18))
        market = c.random() < 0.85
        rooms = c.choice(("Lindmoor Rooms", "Brannental Rooms"))
        offer = Offer(
            key,
            piece,
            fake=True,
            cost=cost,
            kind={"fixed": "fixed", "ended": "ended"}.get(kind, "so far"),
            hours={"near": c.uniform(1, 22), "far": c.uniform(30, 200), "ended": -c.uniform(2, 20)}.get(kind),
            venue=(c.choice(("Wexby Fair", "Brundal Market")) if kind == "fixed" and market else rooms)
            if kind != "fixed" or market
            else "Ostrell Shop",
            seller=f"crook {c.randint(1, 12)}",
            ratings=c.randint(0, 9) if c.random() < 0.6 * part else c.randint(10, 900),
        )
        offer.talk = c.choice(TALK) if c.random() < 0.45 * part else STOCK if c.random() < 0.2 * part else ""
        if c.random() < 0.35:
            spec = piece.issue.weight_g or 1.0
            off = c.choice((-1, -1, 1)) * c.uniform(0.02, 0.08) if c.random() < 0.65 * part else c.gauss(0, 0.003)
            offer.weight = spec * (1 + off)
        offer.date_missing = c.random() < 0.07 * part
        piece.raw = c.random() > 0.15
        if not piece.raw:
            known = [each.number for each in past if each.number]
            offer.number = c.choice(known) if c.random() < 0.8 * part and known else self._number()
        piece.traits, piece.told_traits = (
            {},
            {k: w for k, w in piece.told_traits.items() if k not in ("service", "plus")},
        )
        return offer


def market(kind: str, seed: int, **other: Any) -> World:
    """One market of a kind; the same seed gives the same market."""
    return Maker(replace(KINDS[kind], **other), seed).world()


def named_below(named: tuple[int, ...], grade: int) -> int:
    """The next lower grade of a list."""
    return named[max(bisect_left(named, grade) - 1, 0)]
