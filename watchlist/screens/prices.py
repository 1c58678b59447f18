"""Prices: the coins, each with its grade chart, its prices realised and their course."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from typing import TYPE_CHECKING

from watchlist.page import charts, plots
from watchlist.page import prices as words
from watchlist.page.columns import cut, table, wrap
from watchlist.page.lists import Column, fit
from watchlist.page.wording import ago, coin_name, grades, money
from watchlist.screens.looks import Paint
from watchlist.screens.table import Table

if TYPE_CHECKING:
    from watchlist.core.prices.realised import PriceRealised
    from watchlist.desk.coins import Priced
    from watchlist.desk.pricing import PriceAnswer

COLUMNS = (
    Column("coin", 24), Column("sales", 6, right=True), Column("newest", 13, rank=1), Column("wanted", 6, rank=2),
    Column("mintage", 12, right=True, rank=3),
)
LISTED = 40
MIDDLE = 40
"""The grade in which the course of the price is drawn."""
"""Prices realised listed one by one."""


class Prices(Table["Priced"]):
    """Bands and prices realised."""

    ID = "prices"
    TITLE = "Prices"

    def items(self) -> Sequence[Priced]:
        """All coins of the catalogue, those with prices first."""
        from watchlist.desk.coins import priced

        return priced(self.app.session.desk)

    def text_of(self, item: Priced) -> str:
        """What a sift looks in."""
        return f"{item.issue.name} {item.issue.type}{' wanted' if item.wanted else ''}"

    def head_parts(self) -> Sequence[str]:
        """Coins and prices."""
        sales = sum(each.prices for each in self.all)
        return (f"{len(self.shown):,} of {len(self.all):,} coins", f"{sales:,} prices realised")

    def list_head(self, width: int) -> str:
        """The columns."""
        return fit(COLUMNS, width).head()

    def list_row(self, at: int, width: int) -> Paint:
        """One coin."""
        each = self.shown[at]
        newest = ago(each.newest, self.app.session.desk.local_today()) if each.newest else "-"
        cells = (coin_name(each.issue), str(each.prices) if each.prices else "-", newest, "w" if each.wanted else "",
                 f"{each.issue.mintage:,}" if each.issue.mintage else "-")
        return [("ink" if each.prices else "quiet", fit(COLUMNS, width).row(cells))]

    def list_empty(self) -> str:
        """What to press."""
        if self.text:
            return f"Nothing matches `{self.text}`. esc clears it."
        return "No coins yet. i reads a catalogue and prices realised, or `watchlist import catalogue FILE`."

    def why(self) -> str:
        """The coin in a sentence."""
        if self.item is None:
            return ""
        today = self.app.session.desk.local_today()
        return words.headline(self.item.issue, self.item.prices, self.item.newest, today)

    def pane(self, width: int, height: int) -> Sequence[Paint]:
        """Grade chart, course of the price, prices realised."""
        if self.item is None:
            return ()
        from watchlist.desk.pricing import price

        desk = self.app.session.desk
        answer = price(desk, self.item.issue.key, (MIDDLE, MIDDLE), raw=True)
        sales = answer.explanation.sales if answer.explanation else ()
        steps = words.rungs(answer.curve, sales)
        drawn = desk.settings.plots != "words"
        lines = [*wrap(self.why(), width), ""]
        if steps:
            lines += wrap(charts.chart_sentence(steps, desk.home), width)
            lines += charts.grade_chart(steps, price=None, grade=None, width=width) if drawn else []
            lines += ["", *self._course(answer, width, drawn=drawn)]
        elif answer.basis_note:
            lines.append(answer.basis_note.capitalize() + ".")
        return [[("ink", cut(line, width))] for line in [*lines, "", *_sales(answer.sales)]]

    def _course(self, answer: PriceAnswer, width: int, *, drawn: bool) -> list[str]:
        """The price over time, each sale as it would count in one grade today."""
        found = answer.explanation
        if found is None or not found.sales:
            return []
        desk = self.app.session.desk
        sold = [plots.Sold(sale.day, Decimal(str(sale.adjusted))) for sale in found.sales]
        band = answer.band
        said = f"As {grades(MIDDLE, MIDDLE)} today: {plots.time_sentence(sold, desk.local_today(), desk.home)}"
        edges = (band.low, band.mid, band.high) if band else None
        plot = plots.price_over_time(sold, edges, desk.local_today(), width=width, height=9) if drawn else []
        return [*wrap(said, width), *plot]

    def copy_line(self) -> str:
        """The coin in a sentence."""
        return self.why()


def _sales(sales: Sequence[PriceRealised]) -> list[str]:
    if not sales:
        return ["No prices realised."]
    rows = [("day", "grade", "price", "", "venue")] + [
        (sale.sale_date.isoformat(), grades(sale.grade_low, sale.grade_high) or "-", money(sale.price),
         "" if sale.weight == 1 else f"counts {sale.weight:.0%}", sale.venue)
        for sale in sales[:LISTED]
    ]
    more = [f"and {len(sales) - LISTED} older ones"] if len(sales) > LISTED else []
    return ["Prices realised:", *table(rows, right=frozenset({2})), *more]
