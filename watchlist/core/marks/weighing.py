"""The limits of a piece's weight: statute, wear by grade, rounding. Shared by the doubts and the bench check."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from watchlist.core.coins.index import same_country
from watchlist.core.coins.issue import Issue, bare_words
from watchlist.core.marks.signs import Signs

AGREES = 0.02
"""A statute is that of the catalogue's piece when their standard weights agree within this share."""


@dataclass(frozen=True, slots=True)
class Spec:
    """One specification by statute, with its section and how it was read."""

    countries: tuple[str, ...]
    denomination: str
    first: int
    last: int | None
    weight_g: float | None
    tolerance_g: float | None
    """Absolute, of one piece; None where the law sets none."""
    batch: bool
    """The tolerance bounds the mean of many pieces."""
    diameter_mm: float | None
    thickness_mm: float | None
    metal: str
    law: str
    section: str
    status: str

    @property
    def source(self) -> str:
        """Law and section in words."""
        return f"{self.law}, {self.section}" if self.section else self.law


def specs_from(table: Mapping[str, Any]) -> tuple[Spec, ...]:
    """Specifications from the parsed words/specs.toml."""
    return tuple(
        Spec(
            tuple(law["countries"]),
            row["denomination"],
            int(row["first"]),
            row.get("last"),
            row.get("weight_g"),
            row.get("tolerance_g"),
            law["per"] == "batch",
            row.get("diameter_mm"),
            row.get("thickness_mm"),
            row.get("metal", ""),
            law["law"],
            row.get("section", ""),
            law["status"],
        )
        for law in table["law"]
        for row in law["specs"]
    )


def spec_of(issue: Issue, specs: Iterable[Spec]) -> Spec | None:
    """The statute in force for an issue: country, denomination and year fit, and the weight where one is catalogued.

    Of two that fit (the year a law changed) the wider tolerance to the centigram, then the newer law; without a
    catalogued weight only laws that agree on it."""
    country = bare_words(issue.country)
    fits = [
        spec
        for spec in specs
        if spec.denomination == issue.denomination
        and spec.first <= issue.year <= (spec.last or issue.year)
        and any(same_country(country, bare_words(name)) for name in spec.countries)
        and _weight_agrees(issue, spec)
    ]
    if not fits or (issue.weight_g is None and len({spec.weight_g for spec in fits}) > 1):
        return None
    return max(fits, key=lambda spec: (round(spec.tolerance_g or 0, 2), spec.first))


def _weight_agrees(issue: Issue, spec: Spec) -> bool:
    if issue.weight_g is None or spec.weight_g is None:
        return spec.weight_g is not None
    return abs(issue.weight_g - spec.weight_g) <= AGREES * spec.weight_g


@dataclass(frozen=True, slots=True)
class Limits:
    """Between which weights a genuine piece is to be expected, grams."""

    standard: float
    low: float
    high: float
    tolerance: float
    wear: float
    """Taken off below only, grams."""
    source: str
    """Where the tolerance comes from, in words."""


def limits(
    issue: Issue, grade: int | None, signs: Signs, specs: Iterable[Spec] = (), *, step: float = 0.0
) -> Limits | None:
    """Limits of weight for an issue in a grade; None where no standard is known.

    `step` is the rounding of the figure: half of it is allowed on both sides. A heavy piece is never wear."""
    spec = None if issue.weight_g is not None and issue.weight_tolerance_g is not None else spec_of(issue, specs)
    standard = issue.weight_g if issue.weight_g is not None else spec.weight_g if spec else None
    if standard is None or standard <= 0:
        return None
    tolerance, source = _tolerance(issue, spec, standard, signs)
    wear = wear_share(grade, issue.metal or (spec.metal if spec else ""), signs) * standard
    half = step / 2
    return Limits(standard, standard - tolerance - wear - half, standard + tolerance + half, tolerance, wear, source)


def _tolerance(issue: Issue, spec: Spec | None, standard: float, signs: Signs) -> tuple[float, str]:
    if issue.weight_tolerance_g is not None:
        return issue.weight_tolerance_g, "the catalogue"
    if spec is not None and spec.tolerance_g is not None:
        times = signs["weight.batch_times"] if spec.batch else 1.0
        mean = f", {times:.0f} times the limit of a mean" if spec.batch else ""
        return spec.tolerance_g * times, f"{spec.source}{mean}"
    guess = max(signs["weight.share"] * standard, signs["weight.least_g"])
    return guess, "no statute known: .008 of the standard, at least half a grain"


def wear_share(grade: int | None, metal: str, signs: Signs) -> float:
    """Share of mass that wear may have taken at a grade; without a grade the largest. None above 60 and at it."""
    if grade is None:
        share = signs.wear[-1][1]
    else:
        share = next((lost for from_grade, lost in reversed(signs.wear) if grade <= from_grade), 0.0)
    first = bare_words(metal).split(" ")[0]
    gold = first in signs.gold or (metal.startswith("Au") and metal[2:3].isdigit())
    return share * (signs.gold_wear if gold else 1.0)
