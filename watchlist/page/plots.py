"""Plots over time, exact to one cell: price of one issue and grade with its band, budget by sale day."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from watchlist.core.marks.reasons import figure
from watchlist.core.money.amount import Money
from watchlist.page.charts import rule_over, with_axes
from watchlist.page.columns import cut, pad
from watchlist.page.drawing import ASCII, Alphabet, Canvas, bar


@dataclass(frozen=True, slots=True)
class Sold:
    """One sale on the plot, as it would count in the grade today."""

    day: date
    price: Decimal


def place(day: date, first: date, last: date, cells: int) -> int:
    """The cell of a day on a line from the first to the last day."""
    span = (last - first).days
    return round((day - first).days / span * (cells - 1)) if span > 0 else cells - 1


def price_over_time(
    sold: Sequence[Sold],
    band: tuple[Decimal, Decimal, Decimal] | None,
    today: date,
    *,
    width: int,
    height: int,
    draw: Alphabet = ASCII,
) -> list[str]:
    """Sales from the oldest to today, the band's low, median and high, on a log scale of price; the legend last."""
    if not sold or width < 24 or height < 5:
        return []
    canvas = Canvas(width - 10, height - 3, draw)
    rule = rule_over([*(sale.price for sale in sold), *(band or ())], canvas.high)
    for sign, edge in zip((draw.edge, draw.line, draw.edge), band or (), strict=False):
        for x in range(canvas.wide):
            canvas.point(x, rule.cell(float(edge)), sign)
    first = min(sale.day for sale in sold)
    for sale in sold:
        x = place(sale.day, first, max(today, first), canvas.wide)
        canvas.put(x, rule.cell(float(sale.price)), draw.sale)
    ends = first.isoformat() + pad("today", canvas.across - 10, right=True)
    key = draw.key(sale="a sale", **({"line": "median", "edge": "low and high"} if band else {}))
    named = (0, canvas.rows // 2, canvas.rows - 1)
    return [*with_axes(canvas, rule, named, " " * 9 + ends, draw), cut(f"{' ' * 9}{key}", width)]


def time_sentence(sold: Sequence[Sold], today: date, currency: str) -> str:
    """The same facts in words."""
    if not sold:
        return "No sale is known."
    ordered = sorted(sold, key=lambda sale: sale.day)
    low, high = min(sale.price for sale in sold), max(sale.price for sale in sold)
    sales = "1 sale" if len(sold) == 1 else f"{len(sold)} sales"
    last = ordered[-1]
    return (
        f"{sales} since {ordered[0].day.isoformat()}, from {figure(low)} to {figure(high)} {currency}; "
        f"the newest {last.day.isoformat()} at {figure(last.price)}."
    )


@dataclass(frozen=True, slots=True)
class SaleDay:
    """What all bids of one day cost if they win."""

    day: str
    bids: int
    worst: Decimal


def budget_days(days: Sequence[SaleDay], budget: Decimal, *, width: int, draw: Alphabet = ASCII) -> list[str]:
    """A bar a day of what is committed so far: by earlier days, by this one, the budget; the legend last."""
    if not days or width < 40:
        return []
    total = sum((day.worst for day in days), Decimal(0))
    top = max(total, budget, Decimal(1))
    across = width - 26
    lines, before = [], Decimal(0)
    edge = min(round(float(budget / top) * across), across)
    for day in days:
        after = before + day.worst
        start, end = (min(round(float(amount / top) * across), across) for amount in (before, after))
        row = bar(across + 1, [(0, start - 1, draw.before), (start, end - 1, draw.now), (edge, edge, draw.limit)])
        lines.append(f"{pad(day.day, 10)} {day.bids:>3} {pad(figure(after), 8, right=True)}  {''.join(row)}".rstrip())
        before = after
    key = draw.key(before="days before", now="this day", limit="budget")
    return [*lines, cut(f"{'day':10} bids  to pay  {key}", width)]


def budget_sentence(days: Sequence[SaleDay], budget: Decimal, currency: str) -> str:
    """The same facts in words."""
    parts, before = [], Decimal(0)
    for day in days:
        before += day.worst
        parts.append(f"{day.day} {figure(before)}")
    if not parts:
        return f"Nothing is committed of the budget of {figure(budget)} {currency}."
    return f"Committed in {currency} by the end of each sale day, of {figure(budget)}: {', '.join(parts)}."


@dataclass(frozen=True, slots=True)
class Chance:
    """What one bid is likely to bring."""

    lot: str
    chance: float
    """Of winning, 0 to 1."""
    saving: Decimal
    """Expected, under the ceiling, home currency."""


def chances(bids: Sequence[Chance], *, width: int, draw: Alphabet = ASCII) -> list[str]:
    """A bar a bid, as long as its chance, with one half and certain marked; its expected saving behind."""
    if not bids or width < 50:
        return []
    name = max(len(bid.lot) for bid in bids)
    across = min(width - name - 26, 60)
    lines = []
    for bid in bids:
        full = min(round(bid.chance * across), across)
        half, sure = across // 2, across
        row = bar(across + 1, [(0, full - 1, draw.now), (half, half, draw.limit), (sure, sure, draw.limit)])
        lines.append(f"{pad(bid.lot, name)} {bid.chance:>4.0%} {''.join(row)} saves {figure(bid.saving)}")
    return [*lines, cut(f"{' ' * (name + 6)}{draw.key(now='chance to win', limit='a half, certain')}", width)]


def chance_sentence(bids: Sequence[Chance], saving: Money) -> str:
    """The same facts in words."""
    if not bids:
        return "No bid is planned."
    best = max(bids, key=lambda bid: bid.saving)
    return (
        f"{len(bids)} bids, together {figure(saving.amount)} {saving.currency} of expected saving; most of it by lot "
        f"{best.lot}: {figure(best.saving)} at a chance of {best.chance:.0%}."
    )
