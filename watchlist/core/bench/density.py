"""Density by two weighings, in air and hung in water, with how unsure it is."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from math import hypot, sqrt
from typing import Literal

from watchlist.core.bench.alloys import Alloy, Metals
from watchlist.core.bench.water import density_of_water

AIR = 0.0012
"""Density of air in g/cm3, for the corrected figure."""
Agreement = Literal["agrees", "differs", "cannot tell", "no alloy known"]


class CannotWeigh(ValueError):
    """Two weighings that give no density; the message says why."""


@dataclass(frozen=True, slots=True)
class Density:
    """What two weighings say."""

    value: float
    """g/cm3, without the buoyancy of air."""
    u: float
    """Expanded uncertainty U = 2u in g/cm3, from the balance's readability alone."""
    corrected: float
    """g/cm3 with the buoyancy of air."""


def density(dry: float, wet: float, celsius: float, readability: float) -> Density:
    """Density from grams in air, grams hung in water, the water's temperature and the scale's smallest step.

    A reading is unsure by its step as a rectangle, a weighing by two readings, zero and load: u = d / sqrt 6
    (JCGM 100:2008 F.2.2.1). Raises CannotWeigh.
    """
    lost = dry - wet
    if not (dry > 0 and wet >= 0 and readability > 0):
        raise CannotWeigh("a weight and the readability are above zero")
    if lost <= 0:
        raise CannotWeigh("in water a piece weighs less than in air; these two do not")
    try:
        water = density_of_water(celsius)
    except ValueError as error:
        raise CannotWeigh(str(error)) from error
    step = readability / sqrt(6)
    u = water / lost**2 * hypot(wet * step, dry * step)
    return Density(dry / lost * water, 2 * u, dry / lost * (water - AIR) + AIR)


@dataclass(frozen=True, slots=True)
class DensityVerdict:
    """A density beside the alloy that the piece should be of."""

    found: Density
    expected: Alloy | None
    agreement: Agreement
    allows: tuple[str, ...]
    """Alloys that the reading allows, by name."""
    excludes: tuple[str, ...]
    """Alloys that it rules out."""


def judge_density(found: Density, expected: Alloy | None, metals: Metals) -> DensityVerdict:
    """Which alloys a density allows and excludes; no verdict where it is too coarse to part metal from copies."""
    others = [alloy for alloy in metals.alloys if expected is None or alloy.name != expected.name]
    known = [expected, *others] if expected else others
    allows = tuple(alloy.name for alloy in known if allowed(found, alloy))
    excludes = tuple(alloy.name for alloy in known if not allowed(found, alloy))
    return DensityVerdict(found, expected, _agreement(found, expected, metals.fakes), allows, excludes)


def allowed(found: Density, alloy: Alloy) -> bool:
    """The alloy's density lies within the reading's uncertainty and the one per cent of a real alloy."""
    return abs(found.value - alloy.density) <= blur(found, alloy)


def blur(found: Density, alloy: Alloy) -> float:
    """g/cm3 by which a reading may miss an alloy: U and the alloy's own one per cent, both in full.

    Added in squares they would rule out a genuine 900 gold piece of 17.10 g/cm3 on a milligram balance.
    """
    return found.u + alloy.spread


def _agreement(found: Density, expected: Alloy | None, fakes: Iterable[Alloy]) -> Agreement:
    if expected is None:
        return "no alloy known"
    if not is_fine_enough(found, expected, fakes):
        return "cannot tell"
    return "agrees" if allowed(found, expected) else "differs"


def is_fine_enough(found: Density, expected: Alloy, fakes: Iterable[Alloy]) -> bool:
    """Whether the blur is at most half the gap to the nearest alloy that copies are made of."""
    return blur(found, expected) <= min(abs(expected.density - fake.density) for fake in fakes) / 2
