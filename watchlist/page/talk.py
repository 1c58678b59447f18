"""A talk sheet: one issue on one page, for a club evening or a table at a fair."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from html import escape

from watchlist.core.bench.order import Order
from watchlist.core.coins.issue import Issue
from watchlist.page import charts, prices
from watchlist.page.charts import Rung
from watchlist.page.columns import wrap
from watchlist.page.drawing import Alphabet
from watchlist.page.guide import CAUTION
from watchlist.page.html import document, paragraph
from watchlist.page.prices import SaleLine

PHONE = 66
"""Cells of what is drawn on a page that a telephone shows whole."""


@dataclass(frozen=True, slots=True)
class Section:
    """A part of the sheet."""

    heading: str
    text: tuple[str, ...]
    drawn: tuple[str, ...] = ()
    """Lines in which the blanks count: a chart, a table."""


@dataclass(frozen=True, slots=True)
class Drawing:
    """How charts and tables are drawn."""

    currency: str
    draw: Alphabet | None
    width: int


def talk_sheet(
    issue: Issue,
    order: Order,
    markets: Mapping[str, Sequence[Rung]],
    lines: Sequence[SaleLine],
    today: date,
    paper: Drawing,
) -> Iterator[Section]:
    """The parts of the sheet, that of the coin first. `markets`: by `Uncertified (raw)` and `Certified`."""
    newest = lines[0].sale.sale_date if lines else None
    noted = (f"Your catalogue notes: {issue.note}.",) if issue.note else ()
    yield Section(issue.name, (prices.headline(issue, len(lines), newest, today), *noted))
    yield Section("How copies are made", (order.made,))
    checks = (f"{n}. {each.text} {each.tells}" for n, each in enumerate(order.steps, 1))
    yield Section("What to look for", tuple(checks))
    for kind, rungs in markets.items():
        if rungs:
            draw, wide = paper.draw, paper.width
            drawn = charts.grade_chart(rungs, price=None, grade=None, width=wide, draw=draw) if draw else []
            sentence = charts.chart_sentence(rungs, paper.currency)
            yield Section(f"{kind}, by grade", (sentence,), tuple(drawn))
    if counted := [line for line in lines if not line.aside]:
        yield Section("Recent sales", (), tuple(prices.recent_sales(counted, paper.width)))
    yield Section("Caution", (*order.avoid, CAUTION))


def text(sheet: Sequence[Section], width: int) -> list[str]:
    """The sheet for the screen."""
    lines: list[str] = []
    for part in sheet:
        said = [line for each in part.text for line in wrap(each, width, indent="   ")]
        lines += ["", part.heading, "", *said, *([""] if said and part.drawn else []), *part.drawn]
    return lines[1:]


def page(sheet: Sequence[Section]) -> str:
    """The sheet as an HTML page."""
    return document(sheet[0].heading, "\n".join(_body(sheet)))


def _body(sheet: Sequence[Section]) -> Iterator[str]:
    for level, part in zip(("h1", *["h2"] * len(sheet)), sheet, strict=False):
        yield f"<section><{level}>{escape(part.heading)}</{level}>"
        yield from map(paragraph, part.text)
        if part.drawn:
            yield f'<pre class="scroll">{escape(chr(10).join(part.drawn))}</pre>'
        yield "</section>"
