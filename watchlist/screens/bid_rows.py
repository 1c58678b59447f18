"""The bid list on the screen, in rows."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from decimal import Decimal

from watchlist.core.plan.budgets import Held
from watchlist.desk.desk import Desk
from watchlist.desk.in_hand import limits
from watchlist.desk.plan.bid_list import BidList, bids
from watchlist.page import plots
from watchlist.page.bids import COIN, COLUMNS, LOT, STAGES, BidLine, fitted, lines_in_cells, share, signs_of
from watchlist.page.wording import money
from watchlist.screens.looks import Paint
from watchlist.screens.parts.cells import Cells
from watchlist.shelf.store.rows import LotRow

PLANNED = ("planned", "")


class BidRows:
    """The bid list in rows; before the bids to come those that have ended and wait for a word."""

    none = "No bids yet. Press 1, then b on a lot, to plan one; 6 plans the best set."

    def __init__(self, desk: Callable[[], Desk]) -> None:
        self._desk = desk
        self.list: BidList | None = None
        self._cells = Cells(fitted, COLUMNS)
        self._lots: dict[str, LotRow | None] = {}

    def items(self) -> Sequence[BidLine]:
        """All bids: the ended ones first, then closing soonest first."""
        desk = self._desk()
        self._lots.clear()
        self.list = bids(desk)
        found = (*self.list.ended, *self.list.lines)
        cells = lines_in_cells(found, desk.home, desk.settings.home.zone, desk.local_today())
        self._cells.put({line.row.lot: each for line, each in zip(found, cells, strict=True)})
        return found

    @property
    def signs(self) -> Sequence[str]:
        """What the signs of the list mean, where there are any."""
        return signs_of((*self.list.ended, *self.list.lines)) if self.list else ()

    def text_of(self, item: BidLine) -> str:
        """What a sift looks in."""
        row = item.row
        return f"{row.title} {' '.join(self._cells[row.lot])} {row.venue}{' ended' if row.ended else ''}"

    def lot(self, key: str) -> LotRow | None:
        """The lot of a bid; kept until the list is read anew."""
        if key not in self._lots:
            self._lots[key] = self._desk().shelf.store.lots.get(key)
        return self._lots[key]

    def head(self, width: int) -> str:
        """The columns."""
        return self._cells.head(width)

    def lines(self, item: BidLine, width: int) -> Sequence[Paint]:
        """One bid; its coin and lot number are never cut."""
        role = "ink!" if item.row.warnings or item.row.ended else "ink"
        return [[(role, line)] for line in self._cells.wrapped(item.row.lot, width, (LOT, COIN))]

    def told(self, item: BidLine) -> str:
        """A bid in words, also what a narrow list has no room for."""
        shared = f", {money(item.limit_shared)} beside a piece that is won" if item.limit_shared else ""
        limit = f" Bid limit {money(item.row.limit)}{shared}." if item.row.limit else ""
        odds = f" {share(item.chance)} to win at this bid, likely {money(item.likely)}." if item.likely else ""
        stage = STAGES.get(item.stage, item.stage) if not item.row.ended else "ended"
        return f"{item.row.venue}, {item.number}, {item.coin}: {stage}.{odds}{limit}{self._left_now(item)}"

    def _left_now(self, item: BidLine) -> str:
        """What a planned bid would stand at now."""
        lot = self.lot(item.row.lot) if item.row.stage in PLANNED and not item.row.ended else None
        said = limits.left_now(self._desk(), lot, item.row.bid) if lot else ""
        return f" {said}" if said else ""

    def days(self, held: Held) -> list[plots.SaleDay]:
        """What a budget holds by the end of each sale day of it; before all bids what is spent and set aside."""
        lines = [*self.list.ended, *self.list.lines] if self.list else []
        drawn = [line for line in lines if line.adds and held.covers(line.day)]
        found = {"before": [held.committed - sum((line.adds for line in drawn), Decimal(0))]}
        for line in drawn:
            found.setdefault(str(line.day or "any day"), []).append(line.adds)
        first, *days = (plots.SaleDay(day, len(costs), sum(costs, Decimal(0))) for day, costs in found.items())
        before = [replace(first, bids=0)] if first.worst else []
        return [*before, *sorted(days, key=lambda each: each.day)]
