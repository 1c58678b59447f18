"""How well a marker could do at best on a made market: one that knows how the market works, but not the single piece.

It knows the true shares of over-grading and hidden problems, the true spreads, what problems and traits do, what honest
lots and fakes are offered at, and how often each sign is true of either. `levels="known"`: also what every issue brings
in every grade. `levels="archive"`: it has to find that from the same past sales as the program, from what it knows of
the series and the mintage; a program has to learn series and mintage too. Sellers are not followed from lot to lot.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import product
from math import log
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from tests.bench.marks.market import PROBLEMS, STOCK, TODAY, TRAITS, Maker, Offer, Past, Piece, World

Floats = NDArray[np.float64]
Levels = Literal["known", "archive"]
MARGIN = log(0.8)
REACH, STEP = 4.0, 0.02
"""Log prices are reckoned on a line that goes so far either way, in such steps."""
LINE = np.arange(-REACH, REACH + STEP / 2, STEP)
TOLD = 0.65
"""How often a seller says what moves the value of his piece."""
ODDS: dict[str, dict[str, float]] = {
    "colour": {"RD": 2 / 11, "RB": 4 / 11, "BN": 5 / 11},
    "strike": {"": 0.65, "sharp": 0.175, "weak": 0.175},
    "date_state": {"readable": 0.6, "partial": 0.3, "gone": 0.1},
}
PROOFLIKE = {"": 0.855, "PL": 0.1, "CAM": 0.045}


@dataclass(frozen=True, slots=True)
class Part:
    """One way that a piece may be: log worth = level + bend x wear + offset, within a spread."""

    weight: float
    wear: float
    offset: float
    spread: float


@dataclass(frozen=True, slots=True)
class Level:
    """What is known of an issue: means and covariance of its level and bend."""

    mean: Floats
    cov: Floats


@dataclass(frozen=True, slots=True)
class Seen:
    """One lot as the best marker sees it."""

    offer: Offer
    low: float
    mid: float
    high: float
    """Points of what it is worth, logs."""
    chance: float
    """That it is right and worth its cost with a fifth to spare."""
    fake: float
    """That it is not right, by everything."""


class Oracle:
    """The best marker of one market."""

    def __init__(self, maker: Maker, world: World, levels: Levels) -> None:
        self.maker, self.world, self.ways = maker, world, maker.ways
        self.copied = sum(issue.copied for issue in world.issues)
        self.known = self._levels(levels)

    def sees(self, offer: Offer) -> Seen:
        """What it makes of a lot."""
        at = self.worth(offer.piece)
        low, mid, high = np.interp((0.1, 0.5, 0.9), np.cumsum(at), LINE + STEP / 2)
        centre = self._centre(offer.piece)
        r = log(offer.cost) - centre - LINE
        honest, fake = at * _honest_price(r, offer), at * _crooked_price(r, offer, self.ways.signs)
        odds = self.ways.fakes / (1 - self.ways.fakes) * self.signs(offer)
        whole = honest.sum() + odds * fake.sum()
        enough = honest[r <= MARGIN].sum()
        return Seen(offer, centre + low, centre + mid, centre + high, enough / whole, odds * fake.sum() / whole)

    def worth(self, piece: Piece) -> Floats:
        """Distribution of log worth around `_centre`, in cells of LINE."""
        level, centre = self.known[piece.issue.key], self._centre(piece)
        found = np.zeros(len(LINE))
        for part in self.parts(piece):
            at = np.array([1.0, part.wear])
            spread = float(np.sqrt(at @ level.cov @ at + part.spread**2))
            gap = (LINE + centre - at @ level.mean - part.offset) / spread
            found += part.weight * np.exp(-0.5 * gap**2) / spread
        return found / found.sum()

    def _centre(self, piece: Piece) -> float:
        parts = self.parts(piece)
        level = self.known[piece.issue.key].mean
        return sum(part.weight * (level[0] + level[1] * part.wear + part.offset) for part in parts)

    def parts(self, piece: Piece) -> list[Part]:
        """All ways that a piece may be, by what is told of it; weights add up to one."""
        found = []
        for (true, chance), (flaw, odd, share) in product(self._grades(piece), self._flaws(piece)):
            offset = flaw - (0.06 if piece.raw else 0.0)
            for effect, fits in self._traits(piece, true):
                spread = float(np.hypot(self.ways.appeal, odd))
                found.append(Part(chance * share * fits, self._wear(true), offset + effect, spread))
        whole = sum(part.weight for part in found)
        return [Part(part.weight / whole, part.wear, part.offset, part.spread) for part in found]

    def _wear(self, grade: int) -> float:
        issue = self.world.issues[0]
        level, bend = self.maker.own[issue.key]
        return (self.maker.log_value(issue, grade) - level) / bend

    def _grades(self, piece: Piece) -> list[tuple[int, float]]:
        named = self.ways.named
        low, high = piece.told_low or named[0], piece.told_high or named[-1]
        told = {g: 2.0 if g <= 45 else 1.6 if g < 60 else 1.2 for g in named if low <= g <= high}
        shares = self.ways.short if piece.raw else (1.0, 0.0, 0.0)
        found: dict[int, float] = {}
        for (grade, weight), (steps, share) in product(told.items(), enumerate(shares)):
            true = named[max(named.index(grade) - steps, 0)]
            found[true] = found.get(true, 0.0) + weight * share
        return [(true, weight) for true, weight in found.items() if weight]

    def _flaws(self, piece: Piece) -> list[tuple[float, float, float]]:
        """Effect, spread and chance of each problem that it may have."""
        odd = self.ways.odd
        if piece.problem and piece.told_problem:
            return [(log(PROBLEMS[piece.problem]), odd, 1.0)]
        hidden = self.ways.hidden if piece.raw else 0.0
        rest = [(log(factor), odd, hidden / len(PROBLEMS)) for factor in PROBLEMS.values() if hidden]
        return [(0.0, 0.0, 1.0 - hidden), *rest]

    def _traits(self, piece: Piece, true: int) -> Iterator[tuple[float, float]]:
        """Effect of each set of traits that fits what is told, and how likely that is to be told of it."""
        if not self.ways.traits:
            yield 0.0, 1.0
            return
        series = piece.issue.key[:2]
        own, told = self.maker.luck[int(series[1:])], dict(piece.told_traits)
        sure = sum(TRAITS[kind][told[kind]] + own[kind][told[kind]] for kind in ("service", "plus") if kind in told)
        here = _kinds(series, true)
        if "cameo" in told:
            told["prooflike"] = told.pop("cameo")
        if not set(told) <= {"service", "plus", *here}:
            return
        for words in product(*(odds.items() for odds in here.values())):
            effect, fits = sure, 1.0
            for kind, (word, odds) in zip(here, words, strict=True):
                kind = "cameo" if word == "CAM" else kind
                effect += TRAITS[kind][word] + own[kind][word] if word else 0.0
                fits *= odds * _telling(word, told.get(kind, ""))
            if fits:
                yield effect, fits

    def _levels(self, levels: Levels) -> dict[str, Level]:
        if levels == "known":
            return {key: Level(np.array(own), np.zeros((2, 2))) for key, own in self.maker.own.items()}
        past: dict[str, list[Past]] = {issue.key: [] for issue in self.world.issues}
        for each in self.world.past:
            if each.piece.told_low is not None:
                past[each.piece.issue.key].append(each)
        return {key: self._from_sales(key, sales) for key, sales in past.items()}

    def _from_sales(self, key: str, sales: Sequence[Past]) -> Level:
        """Level and bend of an issue from its own sales, and from its series and mintage."""
        series = int(key[1 : key.index("-")])
        mintage = next(issue.mintage for issue in self.world.issues if issue.key == key)
        scarce = (13 - log(mintage or 1)) / 1.05
        usual = self.maker.levels[series] + 0.5 * scarce + 0.1 * max(scarce - 1, 0) ** 2
        steps = np.linspace(-3, 3, 41), np.linspace(-3, 3, 17)
        u, v = np.meshgrid(*steps, indexing="ij")
        level, bend = usual + 0.16 * u, self.maker.bends[series] * (1 + 0.07 * v)
        fits = -0.5 * (u**2 + v**2)
        for each in sales:
            fits += np.log(self._likely(each, level, bend))
        weight = np.exp(fits - fits.max())
        weight /= weight.sum()
        points = np.stack([level.ravel(), bend.ravel()])
        mean = points @ weight.ravel()
        gap = points - mean[:, None]
        return Level(mean, (gap * weight.ravel()) @ gap.T)

    def _likely(self, sale: Past, level: Floats, bend: Floats) -> Floats:
        """How likely a sale is at each level and bend."""
        age = (TODAY - sale.day).days / 365
        price = log(sale.price) + self.maker.rise * age
        found = np.full(level.shape, 1e-6)
        for part in self.parts(sale.piece):
            gap = price - level - bend * part.wear - part.offset
            found += part.weight * self._noise(gap, part.spread)
        return found

    def _noise(self, gap: Floats, spread: float) -> Floats:
        """Density of one sale around its level: a Student curve of 6 degrees of freedom with the piece's own spread in
        it, and slips of a digit."""
        width = float(np.hypot(self.ways.swing, spread))
        usual = 0.3827 / width * (1 + (gap / width) ** 2 / 6) ** -3.5
        slip = (np.abs(np.abs(gap) - 1.7) < 0.6) / 2.4
        found: Floats = (1 - self.ways.slips) * usual + self.ways.slips * slip
        return found

    def signs(self, offer: Offer) -> float:
        """How much likelier a fake shows what a lot shows beside its price."""
        part, issue = self.ways.signs, offer.piece.issue
        odds = 0.15 + 0.85 * issue.copied * len(self.world.issues) / max(self.copied, 1)
        odds *= _either(offer.ratings < 10, 0.6 * part, 0.06)
        odds *= _talk(offer, part) * _either(offer.date_missing, 0.07 * part, 0.002)
        odds *= _place(offer) * self._weight(offer) * self._number(offer)
        return odds

    def _weight(self, offer: Offer) -> float:
        honest, fake = (0.0 if offer.piece.problem and offer.piece.told_problem else 0.25), 0.35
        if offer.weight is None:
            return (1 - fake) / (1 - honest)
        spec, part = offer.piece.issue.weight_g or 1.0, self.ways.signs
        grade = offer.piece.told_low or 30
        wear = spec * 0.02 * max(0.0, 1 - grade / 55) * np.linspace(0.1, 0.9, 5)
        right = float(np.mean(_normal(offer.weight - spec + wear, 0.035)))
        off = abs(offer.weight / spec - 1)
        wrong = (0.02 <= off <= 0.08) * (2 / 3 if offer.weight < spec else 1 / 3) / (0.06 * spec)
        made = 0.65 * part * wrong + (1 - 0.65 * part) * float(_normal(np.array(offer.weight - spec), 0.003 * spec))
        return fake * made / max(honest * right, 1e-9)

    def _number(self, offer: Offer) -> float:
        if offer.piece.raw:
            return 0.85 / 0.55
        elsewhere = {past.number: past.piece.issue for past in self.world.past if past.number}
        other = offer.number in elsewhere and elsewhere[offer.number] is not offer.piece.issue
        return 0.15 / 0.45 * _either(other, 0.8 * self.ways.signs, 1e-4)


def _kinds(series: str, true: int) -> dict[str, dict[str, float]]:
    """The traits that such a piece may have, with how often it has each word."""
    found = {}
    if series == "s0" and true >= 50:
        found["colour"] = ODDS["colour"]
    if series in ("s1", "s2"):
        found["strike"] = ODDS["strike"]
    if series == "s3" and true <= 15:
        found["date_state"] = ODDS["date_state"]
    if true >= 60:
        found["prooflike"] = PROOFLIKE
    return found


def _telling(word: str, told: str) -> float:
    """How often a piece of this word is told so."""
    if told:
        return TOLD if told == word else 0.0
    return 1 - TOLD if word else 1.0


def _either(shown: bool, fake: float, honest: float) -> float:
    return fake / honest if shown else (1 - fake) / (1 - honest)


def _talk(offer: Offer, part: float) -> float:
    if offer.talk == STOCK:
        return (1 - 0.45 * part) * 0.2 * part / (0.965 * 0.02)
    if offer.talk:
        return 0.45 * part / 0.035
    return (1 - 0.45 * part) * (1 - 0.2 * part) / (0.965 * 0.98)


def _place(offer: Offer) -> float:
    """By kind of sale and venue."""
    if offer.kind == "fixed":
        return 0.62 / 0.5 * (0.15 / 0.4 if offer.venue == "Ostrell Shop" else 0.85 / 0.6)
    if offer.kind == "ended":
        return 0.12 / 0.16
    return 0.12 / 0.14 if (offer.hours or 0) < 24 else 0.14 / 0.2


def _normal(gap: Floats, spread: float) -> Floats:
    found: Floats = np.exp(-0.5 * (gap / spread) ** 2) / (spread * 2.5066)
    return found


def _honest_price(r: Floats, offer: Offer) -> Floats:
    """Density of log(cost / worth) of honest lots; an auction that is open says nothing by its bid."""
    if offer.kind == "so far":
        return np.ones(len(r))
    found: Floats = 0.87 * _normal(r - 0.05, 0.2) + 0.13 * ((r >= -1.1) & (r <= 0)) / 1.1 + 1e-9
    return found


def _crooked_price(r: Floats, offer: Offer, part: float) -> Floats:
    if offer.kind == "so far":
        return np.ones(len(r))
    cheap = 0.4 + 0.45 * part
    flat = ((r >= log(0.1)) & (r <= -0.1)) / (-0.1 - log(0.1))
    found: Floats = cheap * flat + (1 - cheap) * _normal(r - 0.03, 0.18) + 1e-9
    return found
