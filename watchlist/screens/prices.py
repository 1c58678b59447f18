"""Prices: the coins, each with its grade chart, the course of its price and what its band rests on."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from watchlist.core.marks.reasons import ago
from watchlist.desk.desk import Desk
from watchlist.desk.prices.coins import Priced, priced
from watchlist.page import prices as words
from watchlist.page.columns import cut, wrap
from watchlist.page.lists import Column, fit
from watchlist.screens.coin_market import CoinMarket, Shown
from watchlist.screens.frame import Frame
from watchlist.screens.looks import Paint
from watchlist.screens.parts.benching import open_bench
from watchlist.screens.parts.dispatch import Doing, Has
from watchlist.screens.parts.table import Table
from watchlist.screens.program import Program

COLUMNS = (
    Column("coin", 24),
    Column("sales", 6, right=True, rank=1),
    Column("newest", 13, rank=2),
    Column("wanted", 6, rank=3),
    Column("mintage", 12, right=True, rank=4),
)
NEWEST = 5
"""Sales shown beside the coins; Tab lists them all."""


class CoinRows:
    """The coins of the catalogue in rows."""

    none = "No coins yet. Press i to read a catalogue and prices realised, or `watchlist import catalogue FILE`."

    def __init__(self, desk: Callable[[], Desk]) -> None:
        self._desk = desk

    def items(self) -> Sequence[Priced]:
        """All coins, those with prices first."""
        return priced(self._desk())

    def text_of(self, item: Priced) -> str:
        """What a sift looks in."""
        return f"{item.issue.name} {item.issue.type}{' wanted' if item.wanted else ''}"

    def head(self, width: int) -> str:
        """The columns."""
        return fit(COLUMNS, width).head()

    def row(self, item: Priced, width: int) -> Paint:
        """One coin."""
        cells = (
            item.issue.name,
            str(item.prices) if item.prices else "-",
            ago(item.newest, self._desk().local_today()) if item.newest else "-",
            "w" if item.wanted else "",
            f"{item.issue.mintage:,}" if item.issue.mintage else "-",
        )
        return [("ink" if item.prices else "quiet", fit(COLUMNS, width).row(cells))]


class Prices(Frame):
    """Bands and prices realised."""

    ID = "prices"
    TITLE = "Prices"

    def __init__(self, program: Program) -> None:
        self.table = Table(CoinRows(lambda: program.access.desk), program.brush, self.redraw_row)
        self.market = CoinMarket(
            lambda: program.access.desk, lambda: self.table.item.issue.key if self.table.item else None
        )
        super().__init__(program, table=self.table)

    def doing(self) -> Doing:
        """What is done to coins. The other part of the screen are the prices realised."""
        on_coin = self.table.on_item
        sales = on_coin(lambda _: self.program.windows.open("sales", self.market_now))
        return {
            "bench": on_coin(lambda coin: open_bench(self.program, coin.issue.key)),
            "copy": on_coin(lambda coin: self.program.outside.copy(self._headline(coin))),
            "open": sales,
            "part": sales,
            "part-back": sales,
            "grade-up": lambda: self._look(self.market.step_grade, 1),
            "grade-down": lambda: self._look(self.market.step_grade, -1),
            "class": lambda: self._look(self.market.turn_class),
        }

    def has(self) -> Has:
        """A coin, and for Esc a sift or work."""
        return {
            "coin": lambda: self.table.item,
        }

    def load(self) -> None:
        """The coins anew."""
        self.market.forget()
        self.table.load()

    def market_now(self) -> CoinMarket:
        """The market of the coin, as the shelf stands now."""
        self.reload_if_stale()
        return self.market

    def _look(self, turn: Callable[..., None], *by: int) -> None:
        turn(*by)
        self.redraw()

    def head(self) -> Paint:
        """Coins and prices."""
        sales = sum(each.prices for each in self.table.all)
        counts = (f"{len(self.table.shown):,} of {len(self.table.all):,} coins", f"{sales:,} prices realised")
        return self.table.title(self.TITLE, counts, self.app.size.width)

    def why(self, width: int, lines: int) -> str:
        """The band and the coin in a sentence."""
        found = self.market.shown()
        if found is None or self.table.item is None:
            return ""
        return f"{found.band}. {self._headline(self.table.item)} {self.program.keys.first('open')} lists its sales."

    def _headline(self, coin: Priced) -> str:
        return words.headline(coin.issue, coin.prices, coin.newest, self.program.access.desk.local_today())

    def pane(self, width: int, height: int) -> Sequence[Paint]:
        """Grade chart, course of the price, what the band rests on, the newest prices realised."""
        found = self.market.shown()
        if found is None or self.table.item is None:
            return ()
        lines = [*wrap(self._headline(self.table.item), width), *self.market.lines(found, width), ""]
        lines += self._newest(found) or ["No prices realised."]
        return [[("ink", cut(line, width))] for line in lines]

    def _newest(self, found: Shown) -> list[str]:
        newest = [words.short_row(line, found.answer.grade) for line in found.lines[:NEWEST]]
        tab = self.program.keys.first("part")
        return [f"Newest prices realised; {tab} lists all {len(found.lines)}:", *newest] if newest else []
