"""The two plots, exact to one cell: grade chart and price curve, both on a log scale of price."""

from __future__ import annotations

import math
from collections.abc import Collection, Sequence
from dataclasses import dataclass
from decimal import Decimal

from watchlist.core.marks.reasons import figure
from watchlist.core.prices.bandmath import place
from watchlist.page.columns import cut, pad
from watchlist.page.drawing import ASCII, Alphabet, Canvas, bar
from watchlist.page.wording import count, grades


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
        """The cell, or point, of a price, 0 to cells - 1; prices off the rule stand at its ends."""
        if self.high <= self.low or price <= self.low:
            return 0
        share = math.log(price / self.low) / math.log(self.high / self.low)
        return min(round(share * (self.cells - 1)), self.cells - 1)

    def price(self, cell: float) -> float:
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


def grade_chart(
    rungs: Sequence[Rung], *, price: Decimal | None, grade: int | None, width: int, draw: Alphabet = ASCII
) -> list[str]:
    """Price by grade, a line a grade: low, median and high of the band, the lot, `>` its grade; the legend last."""
    if not rungs:
        return []
    rule = rule_for(rungs, price, max(width - 15, 8))
    low, high = figure(Decimal(round(rule.low))), figure(Decimal(round(rule.high)))
    head = "  grade     n  " + low + pad(high, rule.cells - len(low), right=True)
    bands = (_chart_line(rung, rule, price if rung.grade == grade else None, grade, draw) for rung in rungs)
    lot = {"lot": "this lot"} if price is not None and any(rung.grade == grade for rung in rungs) else {}
    key = f"  n sales  {draw.key(low='low', median='median', high='high', **lot)}"
    return [head[:width].rstrip(), *bands, cut(key, width)]


def nearest_rung(rungs: Sequence[Rung], low: int | None, high: int | None) -> int | None:
    """The step at which a lot stands: the nearest to the middle of its grades."""
    if low is None or high is None:
        return None
    return min((rung.grade for rung in rungs), key=lambda grade: abs(grade - (low + high) / 2), default=None)


def _chart_line(rung: Rung, rule: Rule, price: Decimal | None, grade: int | None, draw: Alphabet) -> str:
    here = rung.grade == grade
    low, mid, high = (rule.cell(float(end)) for end in (rung.low, rung.mid, rung.high))
    lot = [rule.cell(float(price))] * 2 if price is not None else []
    ends = ((low, high, draw.fill), (low, low, draw.low), (high, high, draw.high), (mid, mid, draw.median))
    row = bar(rule.cells, [*ends, *([(lot[0], lot[1], draw.lot)] if lot else [])])
    label = f"{'>' if here else ' '} {pad(grades(rung.grade, rung.grade), 6)} {rung.sales or '':>4}  "
    return (label + "".join(row)).rstrip()


def price_curve(
    rungs: Sequence[Rung], *, price: Decimal | None, grade: int | None, width: int, height: int, draw: Alphabet = ASCII
) -> list[str]:
    """Price by grade as a curve, grades in equal steps: the band, a grade with sales, the lot; the legend last."""
    if len(rungs) < 2 or height < 5 or width < 24:
        return []
    canvas = Canvas(width - 10, height - 3, draw)
    rule = rule_for(rungs, price, canvas.high)
    for x in range(canvas.wide):
        _draw_column(canvas, rule, rungs, x, draw)
    for step, rung in enumerate(rungs):
        if rung.sales:
            canvas.put(_across(step, rungs, canvas.wide), rule.cell(float(rung.mid)), draw.sale)
    spot, lot = _spot(rungs, grade), {}
    if price is not None and spot is not None:
        canvas.put(_across(spot, rungs, canvas.wide), rule.cell(float(price)), draw.lot)
        lot = {"lot": "this lot"}
    named = {0, *range(canvas.rows - 1, -1, -3)}
    key = draw.key(line="median", edge="low and high", sale="a grade with sales", **lot)
    return [*with_axes(canvas, rule, named, _foot(rungs, canvas.across), draw), cut(f"{' ' * 9}{key}", width)]


def _across(step: float, rungs: Sequence[Rung], across: int) -> int:
    return round(step / (len(rungs) - 1) * (across - 1))


def _draw_column(canvas: Canvas, rule: Rule, rungs: Sequence[Rung], x: int, draw: Alphabet) -> None:
    at = x / (canvas.wide - 1) * (len(rungs) - 1)
    left = min(int(at), len(rungs) - 2)
    share = at - left

    def between(one: Decimal, two: Decimal) -> float:
        return math.exp((1 - share) * math.log(max(float(one), 0.01)) + share * math.log(max(float(two), 0.01)))

    one, two = rungs[left], rungs[left + 1]
    canvas.point(x, rule.cell(between(one.low, two.low)), draw.edge)
    canvas.point(x, rule.cell(between(one.high, two.high)), draw.edge)
    canvas.point(x, rule.cell(between(one.mid, two.mid)), draw.line)


def _spot(rungs: Sequence[Rung], grade: int | None) -> float | None:
    """Where a grade stands along the foot, in steps; between two rungs where it has none of its own."""
    return None if grade is None else sum(place([rung.grade for rung in rungs], grade))


def with_axes(canvas: Canvas, rule: Rule, named: Collection[int], foot: str, draw: Alphabet) -> list[str]:
    """What is drawn, its dearest line first, with the prices of some lines before them and a foot under all."""
    rows = range(canvas.rows - 1, -1, -1)
    labels = [figure(Decimal(round(rule.price(canvas.middle(row))))) if row in named else "" for row in rows]
    drawn = zip(labels, canvas.lines(), strict=True)
    lines = [f"{pad(label, 7, right=True)} {draw.up}{row}".rstrip() for label, row in drawn]
    return [*lines, f"{' ' * 8}{draw.corner}{draw.across * canvas.across}", foot]


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
    return f"Median prices in {currency} by grade: {', '.join(steps)}; {count(sold, 'sale')} in these grades."
