"""Bids: by sale day, with limit, cost, what is left of the budget, and what is placed."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from typing import TYPE_CHECKING

from watchlist.core.money.amount import Money
from watchlist.page import plots
from watchlist.page.columns import wrap
from watchlist.page.lists import Column, fit
from watchlist.page.wording import CAUTION_BIDS, figure, local, money, time_left
from watchlist.screens.deciding import LotFrame
from watchlist.screens.looks import Paint
from watchlist.screens.table import Table
from watchlist.screens.told import named

if TYPE_CHECKING:
    from watchlist.core.decisions.plan import BidList, BidRow
    from watchlist.core.decisions.review import Verb
    from watchlist.shelf.store.rows import LotRow

COLUMNS = (
    Column("closes", 16),
    Column("lot", 20),
    Column("bid", 9, right=True, rank=1),
    Column("limit", 9, right=True, rank=4),
    Column("all-in", 8, right=True, rank=3),
    Column("chance", 6, right=True, rank=6),
    Column("left", 8, right=True, rank=5),
    Column("stage", 10, rank=2),
)
NARROW = (Column("closes", 7), *COLUMNS[1:])


class Bids(Table["BidRow"], LotFrame):
    """The bid list."""

    ID = "bids"
    TITLE = "Bids"
    WHY = 3
    DEFAULT_CSS = "Bids #why { height: 3; } Bids.-short #why { height: 1; }"

    def __init__(self) -> None:
        super().__init__()
        self.list: BidList | None = None
        self._rows: dict[str, LotRow | None] = {}

    def items(self) -> Sequence[BidRow]:
        """All bids, closing soonest first; behind them those that have ended and wait for a word."""
        from watchlist.desk import bidding

        self._rows.clear()
        self.list = bidding.bids(self.app.session.desk)
        return (*self.list.rows, *self.list.ended)

    def text_of(self, item: BidRow) -> str:
        """What a sift looks in."""
        return f"{item.title} {item.venue} {item.stage}{' ended' if item.ended else ''}"

    def current(self) -> LotRow | None:
        """The lot of the highlighted bid."""
        key = self.item.lot if self.item else ""
        if key and key not in self._rows:
            self._rows[key] = self.app.session.shelf.store.lots.get(key)
        return self._rows.get(key)

    def head_parts(self) -> Sequence[str]:
        """The foot of the list stands at the head too: it is what counts."""
        return self.list.parts if self.list and self.all else ()

    def _columns(self, width: int) -> tuple[Column, ...]:
        return COLUMNS if width >= 120 else NARROW

    def list_head(self, width: int) -> str:
        """The columns."""
        return fit(self._columns(width), width, flexible=1).head()

    def list_row(self, at: int, width: int) -> Paint:
        """One bid."""
        row = self.shown[at]
        desk = self.app.session.desk
        left = "ended" if row.ended else time_left(row.closes, desk.now)
        if row.closes and width >= 120 and not row.ended:
            left = local(row.closes, desk.settings.home.time_zone)
        chance = self._chance(row)
        cells = (
            left or "fixed",
            row.title,
            money(row.bid) if row.bid else "-",
            money(row.limit) if row.limit else "-",
            figure(row.all_in.amount) if row.all_in else "-",
            f"{chance:.0%}" if chance is not None else "-",
            figure(row.left.amount) if row.left else "-",
            "won, lost?" if row.ended else row.stage or "planned",
        )
        role = "ink!" if row.warnings or row.ended else "ink"
        return [(role, fit(self._columns(width), width, flexible=1).row(cells))]

    def _chance(self, row: BidRow) -> float | None:
        if row.lot not in self._rows:
            self._rows[row.lot] = self.app.session.shelf.store.lots.get(row.lot)
        lot = self._rows[row.lot]
        return lot.judgement.chance_worth_it if lot and lot.judgement else None

    def list_empty(self) -> str:
        """What to press."""
        if self.text:
            return f"Nothing matches `{self.text}`. esc clears it."
        return "No bids yet. 1, then b on a lot, plans one."

    def why(self) -> str:
        """The sum, the row's warnings, the caution."""
        foot = f"{self.list.foot}." if self.list and self.all else ""
        if self.item and self.item.ended:
            return f"{self._ended(self.item)} {foot}"
        warnings = "; ".join(self.item.warnings) if self.item else ""
        warned = f"{warnings[:1].upper()}{warnings[1:]}." if warnings else ""
        return " ".join(filter(None, (foot, warned, CAUTION_BIDS)))

    def _ended(self, row: BidRow) -> str:
        """What to do with a bid whose sale is over."""
        fell = f" at {money(row.fell)}" if row.fell else ""
        keys = self.app.keys
        return (
            f"Ended{fell}: say won or lost ({keys.first('won')}, {keys.first('lost')} or "
            f"`watchlist result KEY PRICE [--won]`); {keys.first('take-off')} takes it off."
        )

    def pane(self, width: int, height: int) -> Sequence[Paint]:
        """The budget over the sale days, then the bid's own figures."""
        if self.list is None or self.list.budget is None:
            return ()
        days = self._days()
        budget = self.list.budget
        said = plots.budget_sentence(days, budget.amount, budget.currency)
        drawn = (
            []
            if self.app.session.shelf.settings.plots == "words"
            else plots.budget_days(days, budget.amount, width=width)
        )
        lines: list[Paint] = [[("ink!", "Budget by sale day")], *([("ink", part)] for part in wrap(said, width))]
        lines += [[("ink", part)] for part in drawn]
        lines += [[("ink", "")], *([("ink", part)] for part in wrap(self.why(), width))]
        return lines

    def _days(self) -> list[plots.SaleDay]:
        zone = self.app.session.shelf.settings.home.zone
        found: dict[str, list[Decimal]] = {}
        if self.list and self.list.spent and self.list.won:
            found["won"] = [self.list.spent.amount]
        for row in self.list.rows if self.list else ():
            if row.binding and row.worst is not None:
                day = row.closes.astimezone(zone).date().isoformat() if row.closes else "any day"
                found.setdefault(day, []).append(row.worst.amount)
        return [plots.SaleDay(day, len(costs), sum(costs, Decimal(0))) for day, costs in found.items()]

    def do_raise(self) -> None:
        """One increment more."""
        self._step(up=True)

    def do_lower(self) -> None:
        """One increment less."""
        self._step(up=False)

    def _step(self, *, up: bool) -> None:
        row = self.item
        if row is not None and row.ended:
            self.app.say(self._ended(row))
            return
        if row is None or row.bid is None:
            self.do_amount()
            return
        terms = self.app.session.desk.terms.get(row.venue)
        amount = _rung(row.bid.amount, terms.ladder if terms else None, up=up)
        if amount is None:
            self.app.say("There is no increment below.")
            return
        self._bid(
            row,
            "bid" if row.stage in ("", "planned", "placed", "outbid") else row.stage,  # type: ignore[arg-type]
            Money(amount, row.bid.currency),
        )

    def _bid(self, row: BidRow, verb: Verb, amount: Money) -> None:
        self.put([row.lot], verb, f"{named(row.title)}: {verb} {money(amount)}", str(amount).replace(",", ""))

    def do_placed(self) -> None:
        """Placed, or planned again."""
        row = self.item
        current = self.current()
        if row is not None and row.bid is None and current is not None:
            self.ask_amount(current, "placed")
        elif row is not None and row.bid is not None:
            self._bid(row, "bid" if row.stage == "placed" else "placed", row.bid)

    def do_outbid(self) -> None:
        """Someone bid more."""
        row = self.item
        if row is not None:
            self.put([row.lot], "outbid", f"Outbid: {named(row.title)}")

    def do_take_off(self) -> None:
        """Off the list."""
        row = self.item
        if row is not None:
            self.put([row.lot], "clear", f"Taken off: {named(row.title)}")

    def do_open(self) -> None:
        """The lot's Ticket."""
        if self.current() is not None:
            from watchlist.screens.ticket import Ticket

            self.app.push_screen(Ticket(self))

    def do_copy(self) -> None:
        """Copy the lot as one line."""
        LotFrame.do_copy(self)

    def do_copy_address(self) -> None:
        """Copy the address."""
        LotFrame.do_copy_address(self)


def _rung(price: Decimal, ladder: object, *, up: bool) -> Decimal | None:
    """The next rung above or below a price."""
    from watchlist.core.fees.ladders import Ladder

    steps = ladder if isinstance(ladder, Ladder) else Ladder(((Decimal(0), Decimal(1)),))
    if up:
        return steps.next_above(price)
    below = [rung for rung in steps.rungs(price) if rung < price]
    return below[-1] if below else None
