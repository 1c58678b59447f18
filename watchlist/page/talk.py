"""A talk sheet: one issue on one page, for a club evening or a table at a fair."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from watchlist.core.bench.order import Order
from watchlist.core.coins.issue import Issue
from watchlist.page import charts, prices
from watchlist.page.charts import Rung
from watchlist.page.columns import wrap
from watchlist.page.guide import CAUTION
from watchlist.page.prices import SaleLine


@dataclass(frozen=True, slots=True)
class Market:
    """What an issue brings, raw or certified."""

    kind: str
    """`Uncertified (raw)` or `Certified`."""
    rungs: tuple[Rung, ...]


def talk_sheet(
    issue: Issue, order: Order, markets: Sequence[Market], lines: Sequence[SaleLine], today: date, home: str
) -> list[list[str]]:
    """The parts of the sheet, the first line of each its heading; for a width of 100."""
    newest = lines[0].sale.sale_date if lines else None
    parts = [[issue.name, prices.headline(issue, len(lines), newest, today)]]
    if issue.note:
        parts[0].append(f"Your catalogue notes: {issue.note}.")
    parts.append(["How copies are made", order.made])
    parts.append(["What to look for", *(f"{n}. {each.text} {each.tells}" for n, each in enumerate(order.steps, 1))])
    for market in markets:
        if market.rungs:
            sentence = charts.chart_sentence(market.rungs, home)
            parts.append([f"{market.kind}, by grade", sentence])
    if counted := [line for line in lines if not line.aside]:
        parts.append(["Recent sales", *prices.sales_table(counted, None, 100)])
    parts.append(["Caution", *order.avoid, CAUTION])
    return parts


def text(parts: Sequence[Sequence[str]], width: int, drawn: Sequence[Sequence[str]]) -> list[str]:
    """The sheet for the screen; `drawn` are the charts, under the sentence of their market."""
    lines: list[str] = []
    charts_left = list(drawn)
    for heading, *rest in parts:
        lines += ["", heading, ""] if lines else [heading, ""]
        table = heading == "Recent sales"
        lines += rest if table else [part for line in rest for part in wrap(line, width, indent="   ")]
        if heading.endswith("by grade") and charts_left:
            lines += ["", *charts_left.pop(0)]
    return lines
