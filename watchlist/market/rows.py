"""From issues, sales and guide rows to arrays; what cannot be used is set aside with a reason."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Container, Sequence
from dataclasses import dataclass, field, fields, replace
from datetime import date
from functools import partial
from math import isfinite, log
from typing import Any, TypeVar

import numpy as np
from numpy.typing import NDArray

from watchlist.core.coins.issue import Issue
from watchlist.core.prices.bands import series_key
from watchlist.core.prices.realised import GuideRow, Sale, too_old
from watchlist.core.prices.truegrades import mean_named, steps_below, steps_named

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
T = TypeVar("T", Sale, GuideRow)

NODES = (1.0, 4.0, 12.0, 30.0, 50.0, 58.0, 60.0, 62.0, 64.0, 65.0, 66.0, 67.0, 70.0)
"""One at 60: prices rise little from the best worn pieces to the least of mint state, and steeply from there."""
CERTIFIED, RAW, GUIDE = 0, 1, 2
SHORT = (0.55, 0.33, 0.12)
"""Shares of raw pieces that fall 0, 1 and 2 steps short of the grade named (prior)."""

PROBLEMS = {
    "cleaned": 0.6,
    "polished": 0.5,
    "scratched": 0.6,
    "rim_damage": 0.6,
    "bent": 0.5,
    "env_damage": 0.5,
    "repaired": 0.4,
    "mounted": 0.35,
    "holed": 0.25,
    "clipped": 0.5,
    "toning": 0.75,
    "altered": 0.4,
    "stained": 0.65,
    "chopmarked": 0.5,
    "damaged": 0.45,
    "details": 0.55,
}
"""What a piece with a problem brings against one without (priors; handbook practice, learned with the rest)."""
ANY_PROBLEM = 0.55


@dataclass(frozen=True, slots=True)
class Unused:
    """A sale or guide row the fit did not use."""

    sale: int
    """The sale's number; 0 for a guide row."""
    issue: str
    why: str


@dataclass(frozen=True, slots=True)
class Rows:
    """Observations, sorted by issue. A raw sale makes three: its grade, and one and two steps less."""

    y: Floats
    node: Ints
    share: Floats
    age: Floats
    kind: Ints
    """CERTIFIED, RAW or GUIDE."""
    problem: Ints
    """Place in `Evidence.problems`; -1 for none."""
    traits: Ints
    """Places in `Evidence.traits`, so many columns as one sale has at most; -1 for none."""
    given: Floats
    """The person's own weight."""
    issue: Ints
    """Place in `Evidence.active`."""
    sale: Ints
    """Place in `Evidence.sales`, or -1 for a guide row."""
    step: Ints
    """How many steps short this row supposes the piece."""
    house: Ints
    """Kind of venue, place in `Evidence.houses`."""


@dataclass(frozen=True, slots=True)
class Evidence:
    """Everything the fit knows, in arrays, with the records they came from."""

    issues: Sequence[Issue]
    series: list[str]
    series_of: Ints
    """Series of each issue."""
    active: Ints
    """Issues with at least one observation, sorted by series."""
    sales: list[Sale]
    guides: list[GuideRow]
    rows: Rows
    nodes: Floats
    problems: list[str]
    traits: list[str]
    houses: list[str]
    today: date
    steps: tuple[float, ...]
    """The grades that the archive names: a step of over-grading is the next lower one."""
    metal: Floats
    """Metal value of each issue in home currency; 0 where it does not count."""
    aside: list[Unused] = field(default_factory=list)

    @property
    def active_series(self) -> Ints:
        """Series of each active issue."""
        return self.series_of[self.active]


def gather(
    issues: Sequence[Issue],
    sales: Sequence[Sale],
    guides: Sequence[GuideRow],
    today: date,
    years: float,
    tell: Callable[[], None] = lambda: None,
) -> Evidence:
    """Keep what can be used, set the rest aside, and lay it out in arrays. `tell` is called now and then; it may raise
    to stop."""
    place_of = {issue.key: number for number, issue in enumerate(issues)}
    aside: list[Unused] = []
    why_not = partial(_why_not, known=place_of, today=today, years=years)
    kept = _placed(_sift(sales, lambda sale: why_not(sale, _fault_of_sale(sale)), aside))
    kept_guides = _sift(guides, lambda guide: why_not(guide, _fault_of_guide(guide)), aside)
    tell()
    names = [series_key(issue) for issue in issues]
    series = sorted(set(names))
    series_of = _places(names, series)
    used = {place_of[s.issue] for s in kept} | {place_of[g.issue] for g in kept_guides}
    active = np.array(sorted(used, key=lambda i: (series_of[i], i)), dtype=np.int64)
    nodes = choose_nodes([s.grade for s in kept])
    problems = sorted({s.problem for s in kept if s.problem})
    houses = sorted({s.venue_kind for s in kept})
    traits = sorted({name for s in kept for name in s.traits})
    tell()
    steps = steps_named([sale.grade for sale in kept if sale.span is None])
    table = _table(kept, kept_guides, today, years, steps)
    table["issue"] = _places([s.issue for s in kept] + [g.issue for g in kept_guides], [issues[i].key for i in active])
    table["problem"] = _places([sale.problem for sale in kept], problems, -1, len(kept_guides))
    table["traits"] = _traits(kept, traits, len(kept_guides))
    table["house"] = _places([sale.venue_kind for sale in kept], houses, 0, len(kept_guides))
    rows = _rows(table, nodes)
    tell()
    metal = np.zeros(len(issues))
    return Evidence(
        issues,
        series,
        series_of,
        active,
        kept,
        kept_guides,
        rows,
        nodes,
        problems,
        traits,
        houses,
        today,
        steps,
        metal,
        aside,
    )


def _placed(sales: Sequence[Sale]) -> list[Sale]:
    """Sales with ranges put where the archive's numbers lie in them."""
    met = Counter(sale.grade for sale in sales if sale.span is None)
    means = {span: mean_named(*span, met) for span in {sale.span for sale in sales if sale.span}}
    return [replace(sale, grade=means[sale.span]) if sale.span else sale for sale in sales]


def thin(evidence: Evidence, most: int) -> Evidence:
    """The same with at most so many active issues, drawn at random but the same each time."""
    if len(evidence.active) <= most:
        return evidence
    keep = np.sort(np.random.default_rng(1).choice(len(evidence.active), most, replace=False))
    new = np.full(len(evidence.active), -1, dtype=np.int64)
    new[keep] = np.arange(most)
    rows = evidence.rows
    mine = new[rows.issue] >= 0
    picked = {f.name: getattr(rows, f.name)[mine] for f in fields(Rows)}
    picked["issue"] = new[picked["issue"]]
    return replace(evidence, active=evidence.active[keep], rows=Rows(**picked))


def choose_nodes(grades: Sequence[float]) -> Floats:
    """The grade nodes: with 12 or fewer distinct grades that span the scale those, else the fixed ones."""
    distinct = sorted(set(grades))
    if 2 <= len(distinct) <= 12 and distinct[0] <= 12 and distinct[-1] >= 64:
        return np.array(distinct, dtype=np.float64)
    return np.array(NODES, dtype=np.float64)


def fading(age: Floats, years: float) -> Floats:
    """How much a sale of this age counts: in full for the years set, then less, halved about every year."""
    return np.exp(-0.7 * np.maximum(age - years, 0.0))


def _sift(told: Sequence[T], why_not: Callable[[T], str], aside: list[Unused]) -> list[T]:
    """Those that can be used; the others are set aside with a reason."""
    kept = []
    for each in told:
        if why := why_not(each):
            aside.append(Unused(each.id if isinstance(each, Sale) else 0, each.issue, why))
        else:
            kept.append(each)
    return kept


def _why_not(told: Sale | GuideRow, fault: str, *, known: Container[str], today: date, years: float) -> str:
    """Why a row cannot be used: its issue, the fault it has of its own, its day."""
    unknown = "" if told.issue in known else "its issue is not in the catalogue"
    return unknown or fault or _why_not_day(told.day, today, years)


def _fault_of_sale(sale: Sale) -> str:
    if not isfinite(sale.price) or sale.price <= 0:
        return "the price is not above zero"
    if not 1 <= sale.grade <= 70:
        return "the grade is not between 1 and 70"
    if sale.weight <= 0 or not isfinite(sale.weight):
        return "its weight is set to nothing"
    return ""


def _fault_of_guide(guide: GuideRow) -> str:
    if not (isfinite(guide.low) and isfinite(guide.high) and 0 < guide.low <= guide.high):
        return "low and high are not two rising prices above zero"
    if not 1 <= guide.grade_low <= guide.grade_high <= 70:
        return "the grades are not between 1 and 70"
    return ""


def _why_not_day(day: date, today: date, years: float) -> str:
    if day > today:
        return f"the date {day} is in the future"
    return too_old(day, today, years)


def _table(
    sales: Sequence[Sale], guides: Sequence[GuideRow], today: date, years: float, steps: Sequence[float]
) -> dict[str, Any]:
    """One line for each sale, then one for each guide row; `grade` has the grade named and those one and two steps
    less."""
    short = {grade: [steps_below(grade, step, steps) for step in range(3)] for grade in {s.grade for s in sales}}
    told: list[Sale | GuideRow] = [*sales, *guides]
    heads = [short[s.grade] for s in sales] + [[(g.grade_low + g.grade_high) / 2] * 3 for g in guides]
    age = np.array([(today - each.day).days for each in told], dtype=np.float64) / 365.25
    kind = np.array([RAW if s.raw else CERTIFIED for s in sales] + [GUIDE] * len(guides), dtype=np.int64)
    given = np.array([min(s.weight, 1.0) for s in sales] + [1.0] * len(guides))
    return {
        "grade": np.array(heads, dtype=np.float64).reshape(-1, 3),
        "y": np.array([log(s.price) for s in sales] + [(log(g.low) + log(g.high)) / 2 for g in guides]),
        "age": age,
        "kind": kind,
        "given": given * np.where(kind == GUIDE, 1.0, fading(age, years)),
        "sale": np.r_[np.arange(len(sales)), np.full(len(guides), -1)],
    }


def _traits(sales: Sequence[Sale], known: Sequence[str], more: int) -> Ints:
    """The places of each sale's traits, one a column; -1 where it has no more, and so many lines more of that."""
    place = {name: number for number, name in enumerate(known)}
    found = np.full((len(sales) + more, max((len(sale.traits) for sale in sales), default=0)), -1, dtype=np.int64)
    for line, sale in enumerate(sales):
        for column, name in enumerate(sale.traits):
            found[line, column] = place[name]
    return found


def _places(names: Sequence[str], known: Sequence[str], other: int = -1, more: int = 0) -> Ints:
    """The place of each name in the list, `other` where it has none; and `other` so many times more."""
    place = {name: number for number, name in enumerate(known)}
    return np.array([place.get(name, other) for name in names] + [other] * more, dtype=np.int64)


def _rows(table: dict[str, Any], nodes: Floats) -> Rows:
    """The table sorted by issue; a raw sale stands three times, once for each grade that it may truly have."""
    order = np.argsort(table["issue"], kind="stable")
    times = np.where(table["kind"][order] == RAW, 3, 1)
    row = np.repeat(order, times)
    step = np.arange(len(row)) - np.repeat(np.cumsum(times) - times, times)
    node, share = spots(nodes, table.pop("grade")[row, step])
    return Rows(node=node, share=share, step=step, **{name: column[row] for name, column in table.items()})


def spots(nodes: Floats, grade: Floats) -> tuple[Ints, Floats]:
    """The node at or below each grade and the share of the next one; flat outside."""
    if len(nodes) < 2:
        return np.zeros(len(grade), dtype=np.int64), np.zeros(len(grade))
    node = np.clip(np.searchsorted(nodes, grade, side="right") - 1, 0, len(nodes) - 2).astype(np.int64)
    share = np.clip((grade - nodes[node]) / (nodes[node + 1] - nodes[node]), 0.0, 1.0)
    return node, share
