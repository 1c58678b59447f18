"""The two plots in plain ASCII, exact to one cell: grade chart and price curve, both on a log scale of price."""

from __future__ import annotations

import math
from collections.abc import Collection, Sequence
from dataclasses import dataclass
from decimal import Decimal

from watchlist.core.marks.reasons import figure
from watchlist.core.prices.bandmath import place
from watchlist.page.columns import pad
from watchlist.page.wording import grades


@dataclass(frozen=True, slots=True)
class Rung:
    """One grade of the plot: its band in home currency and the sales in it."""

    grade: int
    low: Decimal
    mid: Decimal
    high: Decimal
    sales: int


@dataclass(frozen=True, slots=True)
class Rule:
    """A log scale of price laid on a number of cells."""

    low: float
    high: float
    cells: int

    def cell(self, price: float) -> int:
        """The cell of a price, 0 to cells - 1; prices off the rule stand at its ends."""
        if self.high <= self.low or price <= self.low:
            return 0
        share = math.log(price / self.low) / math.log(self.high / self.low)
        return min(round(share * (self.cells - 1)), self.cells - 1)

    def price(self, cell: int) -> float:
        """The price that a cell stands for."""
        if self.cells < 2:
            return self.low
        return float(self.low * (self.high / self.low) ** (cell / (self.cells - 1)))


def rule_for(rungs: Sequence[Rung], price: Decimal | None, cells: int) -> Rule:
    """A rule that holds every band and the lot's price."""
    ends = (end for rung in rungs for end in (rung.low, rung.high))
    return rule_over([*ends, price or Decimal(0)], cells)


def rule_over(prices: Sequence[Decimal], cells: int) -> Rule:
    """A rule that holds all of the prices above nothing."""
    positive = [float(price) for price in prices if price > 0] or [1.0]
    return Rule(min(positive), max(positive), cells)


def grade_chart(rungs: Sequence[Rung], *, price: Decimal | None, grade: int | None, width: int) -> list[str]:
    """Price by grade, a line a grade: `[` low, `|` middle, `]` high, `X` the lot, `>` its grade."""
    if not rungs:
        return []
    rule = rule_for(rungs, price, max(width - 15, 8))
    low, high = figure(Decimal(round(rule.low))), figure(Decimal(round(rule.high)))
    head = "  grade     n  " + low + pad(high, rule.cells - len(low), right=True)
    return [head[:width].rstrip(), *(_chart_line(rung, rule, price, grade) for rung in rungs)]


def _chart_line(rung: Rung, rule: Rule, price: Decimal | None, grade: int | None) -> str:
    here = rung.grade == grade
    row = [" "] * rule.cells
    low, mid, high = (rule.cell(float(end)) for end in (rung.low, rung.mid, rung.high))
    row[low : high + 1] = "=" * (high - low + 1)
    row[low], row[high] = "[", "]"
    row[mid] = "|"
    if here and price is not None:
        row[rule.cell(float(price))] = "X"
    label = f"{'>' if here else ' '} {pad(grades(rung.grade, rung.grade), 6)} {rung.sales or '':>4}  "
    return (label + "".join(row)).rstrip()


def price_curve(
    rungs: Sequence[Rung], *, price: Decimal | None, grade: int | None, width: int, height: int
) -> list[str]:
    """Price by grade as a curve, grades in equal steps: `.` band, `o` a grade with sales, `-` between, `X` the lot."""
    if len(rungs) < 2 or height < 4 or width < 24:
        return []
    rule = rule_for(rungs, price, height - 2)
    across = width - 10
    paper = [[" "] * across for _ in range(rule.cells)]
    for column in range(across):
        _draw_column(paper, rule, rungs, column, across)
    for step, rung in enumerate(rungs):
        if rung.sales:
            paper[rule.cell(float(rung.mid))][_across(step, rungs, across)] = "o"
    spot = _spot(rungs, grade)
    if price is not None and spot is not None:
        paper[rule.cell(float(price))][_across(spot, rungs, across)] = "X"
    named = {0, *range(rule.cells - 1, -1, -3)}
    return with_axes(paper, rule, named, _foot(rungs, across))


def _across(step: float, rungs: Sequence[Rung], across: int) -> int:
    return round(step / (len(rungs) - 1) * (across - 1))


def _draw_column(paper: list[list[str]], rule: Rule, rungs: Sequence[Rung], column: int, across: int) -> None:
    at = column / (across - 1) * (len(rungs) - 1)
    left = min(int(at), len(rungs) - 2)
    share = at - left

    def between(one: Decimal, two: Decimal) -> float:
        return math.exp((1 - share) * math.log(max(float(one), 0.01)) + share * math.log(max(float(two), 0.01)))

    one, two = rungs[left], rungs[left + 1]
    paper[rule.cell(between(one.low, two.low))][column] = "."
    paper[rule.cell(between(one.high, two.high))][column] = "."
    paper[rule.cell(between(one.mid, two.mid))][column] = "-"


def _spot(rungs: Sequence[Rung], grade: int | None) -> float | None:
    """Where a grade stands along the foot, in steps; between two rungs where it has none of its own."""
    return None if grade is None else sum(place([rung.grade for rung in rungs], grade))


def with_axes(paper: list[list[str]], rule: Rule, named: Collection[int], foot: str) -> list[str]:
    """What is drawn, its dearest line first, with the prices of some lines before them and a foot under all."""
    labels = [figure(Decimal(round(rule.price(at)))) if at in named else "" for at in range(rule.cells)]
    lines = [f"{pad(label, 7, right=True)} |{''.join(row)}".rstrip() for label, row in zip(labels, paper, strict=True)]
    return [*reversed(lines), f"{' ' * 8}+{'-' * len(paper[0])}", foot]


def _foot(rungs: Sequence[Rung], across: int) -> str:
    row = [" "] * (across + 9)
    free = 0
    for step, rung in enumerate(rungs):
        word = grades(rung.grade, rung.grade)
        start = min(9 + _across(step, rungs, across), len(row) - len(word))
        if start >= free:
            row[start : start + len(word)] = word
            free = start + len(word) + 1
    return "".join(row).rstrip()


def chart_sentence(rungs: Sequence[Rung], currency: str) -> str:
    """The facts of either plot in words."""
    if not rungs:
        return ""
    steps = [f"{grades(rung.grade, rung.grade)} {figure(rung.mid)}" for rung in rungs]
    sold = sum(rung.sales for rung in rungs)
    return f"Middle prices in {currency} by grade: {', '.join(steps)}; {sold or 'no'} sales in these grades."
