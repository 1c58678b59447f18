"""The check of a piece in the hand: what its measurements rule out, and what they cannot tell.

It never says that a piece is fake: a genuine one may be worn, plugged, cleaned or struck on another planchet.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from watchlist.core.bench.alloys import Alloy, Metals
from watchlist.core.bench.density import CannotWeigh, DensityVerdict, density, judge_density
from watchlist.core.bench.measurements import BenchError, Measurements
from watchlist.core.bench.several import Oddness, oddness
from watchlist.core.bench.units import Measured
from watchlist.core.coins.issue import Issue
from watchlist.core.marks.signs import Signs
from watchlist.core.marks.weighing import Limits, Spec, limits, spec_of

Outcome = Literal["inside", "under", "over", "agrees", "differs", "cannot tell", "no standard"]
Kin = Literal["issue", "type"]
Name = Literal["weight", "diameter", "thickness"]
COLLAR_MM = 0.3
"""A piece struck in a collar keeps its diameter to this (common practice)."""
THICKNESS = 0.15
"""Thickness is no tight test: laws call it indicative, and the rim stands above the field (common practice)."""
IRON, NICKEL = 0.5, 0.6
"""Shares from which an alloy pulls at a magnet; cupro-nickel of 75 to 25 does not (from memory)."""
UNITS: Mapping[Name, str] = {"weight": "g", "diameter": "mm", "thickness": "mm"}
NEAR, FAR = 0.02, 0.1
"""Shares within which a figure is taken for another one's standard, and beyond which it is no such diameter."""


@dataclass(frozen=True, slots=True)
class Bounds:
    """One measured figure beside what is expected."""

    name: Name
    value: float
    low: float | None
    high: float | None
    outcome: Outcome
    source: str
    """Where the expectation comes from: law and section, or the catalogue; empty where there is none."""
    unit: str


@dataclass(frozen=True, slots=True)
class Beside:
    """One figure of the piece, and the same figure of the person's own genuine ones."""

    name: Name
    value: float
    others: tuple[float, ...]
    unit: str


@dataclass(frozen=True, slots=True)
class Check:
    """All that one set of measurements says of one piece."""

    bounds: tuple[Bounds, ...]
    density: DensityVerdict | None
    magnet: Outcome | None
    among: Oddness | None
    """How odd the piece is among the person's own genuine ones; None without any."""
    alloy: Alloy | None
    """What it should be made of; None where that is not known."""
    notes: tuple[str, ...]
    beside: tuple[Beside, ...] = ()
    """The piece among the person's own genuine ones, figure by figure, where there are such."""
    kin: Kin = "type"
    """Whether those are of its issue, or of its type."""

    @property
    def ruled_out(self) -> bool:
        """Some measurement is not that of this issue."""
        odd = self.among is not None and self.among.stands_apart
        outside = any(bound.outcome in ("under", "over") for bound in self.bounds if bound.name != "thickness")
        return odd or outside or self.magnet == "differs" or (self.density and self.density.agreement) == "differs"

    @property
    def tested(self) -> bool:
        """Some measurement had an expectation to be held against."""
        told = {bound.outcome for bound in self.bounds} - {"no standard"}
        return bool(told or (self.density and self.density.expected) or self.magnet or (self.among and self.among.p))


@dataclass(frozen=True, slots=True)
class Standards:
    """What pieces are held against."""

    signs: Signs
    specs: Sequence[Spec]
    metals: Metals
    genuine: Sequence[Measurements] = ()
    """The person's own pieces known to be genuine."""
    kin: Kin = "type"
    """Whether those are of the same issue, or of the same type."""


def check(issue: Issue, grade: int | None, made: Measurements, standards: Standards) -> Check:
    """Hold measurements against statute, catalogue, wear, alloy and the person's own genuine pieces.

    `grade` is a number of the 70-point scale, None where unknown (the largest wear is allowed then). Raises BenchError.
    """
    spec = spec_of(issue, standards.specs)
    _ask_about_units(issue, made)
    metal = issue.metal or (spec.metal if spec else "")
    alloy = standards.metals.named(metal)
    bounds = [*_weight(issue, grade, made, standards), *_sizes(issue, spec, made)]
    return Check(
        tuple(bounds),
        _density(made, alloy, standards.metals),
        _magnet(made, alloy),
        _among(made, standards.genuine),
        alloy,
        made.notes,
        tuple(_beside(made, standards.genuine)),
        standards.kin,
    )


def _ask_about_units(issue: Issue, made: Measurements) -> None:
    """A bare number in the field of millimetres that is just what the issue weighs, and far from its diameter."""
    size, standard, usual = made.diameter, issue.weight_g, issue.diameter_mm
    if size is None or size.unit_given or not standard or not usual:
        return
    if abs(size.value - standard) <= NEAR * standard and abs(size.value - usual) > FAR * usual:
        raise BenchError(
            f"Diameter {size.value:g} is what this issue weighs in grams; its diameter is {usual:g} mm. "
            f"Write `{size.value:g} mm` if it is meant. Nothing was stored."
        )


def _weight(issue: Issue, grade: int | None, made: Measurements, standards: Standards) -> list[Bounds]:
    if made.weight is None:
        return []
    found = limits(issue, grade, standards.signs, standards.specs, step=made.readability)
    low, high, source = (found.low, found.high, _source(found)) if found else (None, None, "")
    return [_bounds("weight", made.weight.value, low, high, source)]


def _source(found: Limits) -> str:
    worn = f", {found.wear:.2f} g less for wear" if found.wear else ""
    return f"{found.standard:g} g, {found.tolerance:.2g} g either way by {found.source}{worn}"


def _sizes(issue: Issue, spec: Spec | None, made: Measurements) -> list[Bounds]:
    law = spec.source if spec else ""
    found = []
    if made.diameter:
        standard, source = _standard(issue.diameter_mm, spec.diameter_mm if spec else None, law)
        found.append(_size("diameter", made.diameter, standard, COLLAR_MM, source))
    if made.thickness:
        standard, source = _standard(issue.thickness_mm, spec.thickness_mm if spec else None, law)
        found.append(_size("thickness", made.thickness, standard, THICKNESS * (standard or 0), source))
    return found


def _standard(own: float | None, by_law: float | None, law: str) -> tuple[float | None, str]:
    """The catalogue's figure, else the statute's, and where it stands."""
    return (own, "your catalogue") if own else (by_law, law) if by_law else (None, "")


def _size(name: Name, measured: Measured, standard: float | None, slack: float, source: str) -> Bounds:
    if standard is None:
        return _bounds(name, measured.value, None, None, source)
    room = slack + measured.spread / 2
    return _bounds(name, measured.value, standard - room, standard + room, source)


def _bounds(name: Name, value: float, low: float | None, high: float | None, source: str) -> Bounds:
    unit = UNITS[name]
    if low is None or high is None:
        return Bounds(name, value, low, high, "no standard", source, unit)
    slip = 1e-9  # sums of decimal figures in binary
    outcome: Outcome = "under" if value < low - slip else "over" if value > high + slip else "inside"
    return Bounds(name, value, low, high, outcome, source, unit)


def _density(made: Measurements, alloy: Alloy | None, metals: Metals) -> DensityVerdict | None:
    if made.wet is None or made.dry_weight is None:
        return None
    try:
        found = density(made.dry_weight, made.wet, made.water, made.readability)
    except CannotWeigh as error:
        raise BenchError(f"No density: {error}. Nothing was stored.") from error
    return judge_density(found, alloy, metals)


def _magnet(made: Measurements, alloy: Alloy | None) -> Outcome | None:
    """A weak pull proves nothing either way: dust, a plated layer, a little iron in old metal."""
    if made.magnet is None or alloy is None:
        return None
    if made.magnet == "weak":
        return "cannot tell"
    return "agrees" if (made.magnet == "strong") == is_magnetic(alloy) else "differs"


def is_magnetic(alloy: Alloy) -> bool:
    """Steel and nearly pure nickel pull at a magnet."""
    shares = dict(alloy.shares)
    return shares.get("Fe", 0.0) >= IRON or shares.get("Ni", 0.0) >= NICKEL


def _among(made: Measurements, genuine: Sequence[Measurements]) -> Oddness | None:
    """By the figures that this piece and every one of the others have."""
    if not genuine:
        return None
    own = made.numbers()
    rows = [each.numbers() for each in genuine]
    shared = [name for name in own if all(name in row for row in rows)]
    return oddness([own[name] for name in shared], [[row[name] for name in shared] for row in rows])


def _beside(made: Measurements, genuine: Sequence[Measurements]) -> Iterator[Beside]:
    """Every figure that this piece and some of the others have."""
    own, rows = made.numbers(), [each.numbers() for each in genuine]
    for name, unit in UNITS.items():
        others = tuple(row[name] for row in rows if name in row)
        if name in own and others:
            yield Beside(name, own[name], others, unit)
