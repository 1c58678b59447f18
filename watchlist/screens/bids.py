"""Bids: by sale day, with limit, cost, what is left of the budget, and what is placed."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from decimal import Decimal
from functools import partial
from typing import cast

from watchlist.core.decisions.bids import BidRow
from watchlist.core.decisions.review import Verb
from watchlist.core.fees.ladders import Ladder
from watchlist.core.money.amount import CENT, Money
from watchlist.page import plots
from watchlist.page.bids import BidLine
from watchlist.page.columns import wrap
from watchlist.page.wording import CAUTION_BIDS, money
from watchlist.screens.bid_rows import BidRows
from watchlist.screens.layout import keys_line
from watchlist.screens.looks import Paint, ink
from watchlist.screens.parts.dispatch import Doing, Has
from watchlist.screens.parts.on_lots import lot_actions
from watchlist.screens.program import Program
from watchlist.screens.sentences import named
from watchlist.screens.table_screen import TableOverPane
from watchlist.shelf.store.rows import LotRow

SAID: Mapping[Verb, str] = {
    "outbid": "Outbid",
    "acknowledged": "Acknowledged",
    "cancelled": "Cancelled by the venue",
    "unsold": "Unsold",
    "withdrawn": "Withdrawn",
}
"""What a venue may say of a bid, and how it is told."""


class Bids(TableOverPane[BidRows, BidLine]):
    """The bid list."""

    ID = "bids"
    TITLE = "Bids"
    ROWS = BidRows
    DEFAULT_CSS = "Bids.-wide #pane, Bids.-rich #pane { height: 40%; }"

    def __init__(self, program: Program) -> None:
        super().__init__(program)
        self._on_lots = lot_actions(program, self, self.dialogue)

    def doing(self) -> Doing:
        """What is done to lots, and to bids."""
        on_bid = self._on_bid
        return {
            **self._on_lots.doing,
            "open": on_bid(lambda bid: self.program.windows.open("ticket", bid.lot, self.step_from)),
            "raise": on_bid(lambda bid: self._step(bid, up=True)),
            "lower": on_bid(lambda bid: self._step(bid, up=False)),
            "placed": on_bid(self._placed),
            **{verb: on_bid(partial(self._say, verb)) for verb in SAID},
            "take-off": on_bid(lambda bid: self._put(bid, "clear", f"Taken off: {named(bid.title)}")),
        }

    def has(self) -> Has:
        """A bid and its lot, and for Esc a sift or work."""
        return {
            "bid": lambda: self.table.item,
            "lot": self.current,
        }

    def _on_bid(self, do: Callable[[BidRow], object]) -> Callable[[], None]:
        return self.table.on_item(lambda line: do(line.row))

    # --- its lots ---

    def current(self) -> LotRow | None:
        """The lot of the highlighted bid."""
        return self.rows.lot(self.table.item.row.lot) if self.table.item else None

    def step_from(self, key: str, by: int) -> LotRow | None:
        """The lot of the bid before or behind this one, for the Ticket over it."""
        self.reload_if_stale()
        row = self.current()
        if row is not None and row.lot.key == key:
            self.table.listing.step(by)
        return self.current()

    # --- how it reads ---

    def head(self) -> Paint:
        """The foot of the list stands at the head too: it is what counts."""
        parts = self.rows.list.parts if self.rows.list and self.table.all else ()
        return self.table.title(self.TITLE, parts, self.app.size.width)

    def why(self, width: int, lines: int) -> str:
        """The row's warnings, the bid in words, the sum, the caution."""
        line = self.table.item
        foot = f"{self.rows.list.foot}." if self.rows.list and self.table.all else ""
        if line and line.row.ended:
            return f"{self._ended(line.row)} {foot}"
        warnings = "; ".join(line.row.warnings) if line else ""
        warned = f"{warnings[:1].upper()}{warnings[1:]}." if warnings else ""
        said = self.rows.told(line) if line else ""
        return " ".join(filter(None, (warned, said, foot, CAUTION_BIDS)))

    def legend(self, width: int) -> str:
        """What the signs and the heads of the columns mean."""
        columns = ("cost all in", "left of the budget if all win", "wins: chance to win at this bid")
        return keys_line((*self.rows.signs, *columns), width)

    def _ended(self, bid: BidRow) -> str:
        """What to do with a bid whose sale is over."""
        passed = ", not sold (`watchlist decide KEY unsold`)" if bid.unsold else ""
        fell = f" at {money(bid.fell)}" if bid.fell else passed
        keys = self.program.keys
        return (
            f"Ended{fell}: record the result ({keys.first('won')}, {keys.first('lost')} or "
            f"`watchlist result KEY PRICE [--won]`); {keys.first('take-off')} takes it off."
        )

    def pane(self, width: int, height: int) -> Sequence[Paint]:
        """Each budget over its sale days, then the bid's own figures."""
        found, draw = self.rows.list, self.program.access.desk.drawing
        lines: list[Paint] = []
        for held in found.budgets if found else ():
            days, currency = self.rows.days(held), found.total.currency if found else ""
            lines += [[("ink!", f"Budget {held.name if held.first else ''} by sale day".replace("  ", " "))]]
            lines += ink(wrap(plots.budget_sentence(days, held.amount, currency), width))
            drawn = plots.budget_days(days, held.amount, width=width, draw=draw) if draw else []
            lines += [*ink(drawn), [("ink", "")]]
        return [*lines, *ink(wrap(self.why(width, 0), width))]

    # --- what is done to bids ---

    def _step(self, bid: BidRow, *, up: bool) -> None:
        """One increment more, or less."""
        if bid.ended:
            self.program.messages.say(self._ended(bid))
            return
        if bid.bid is None:
            self._on_lots.decisions.ask_amount()
            return
        terms = self.program.access.desk.terms.get(bid.venue)
        amount = _rung(bid.bid.amount, terms.ladder if terms else None, up=up)
        if amount is None:
            self.program.messages.say("There is no increment below.")
            return
        kept = bid.stage not in ("", "planned", "placed", "outbid")  # an offer, or a piece to buy, stays one
        self._bid(bid, cast("Verb", bid.stage) if kept else "bid", Money(amount, bid.bid.currency))

    def _bid(self, bid: BidRow, verb: Verb, amount: Money) -> None:
        self._put(bid, verb, f"{named(bid.title)}: {verb} {money(amount)}", str(amount).replace(",", ""))

    def _say(self, verb: Verb, bid: BidRow) -> None:
        """What the venue says of a bid, or of its lot."""
        self._put(bid, verb, f"{SAID[verb]}: {named(bid.title)}")

    def _put(self, bid: BidRow, verb: Verb, said: str, amount: str = "") -> None:
        self._on_lots.decisions.put([bid.lot], verb, said, amount)

    def _placed(self, bid: BidRow) -> None:
        """Placed, or planned again."""
        if bid.bid is not None:
            self._bid(bid, "bid" if bid.stage == "placed" else "placed", bid.bid)
        elif self.current() is not None:
            self._on_lots.decisions.ask_amount("placed")


def _rung(price: Decimal, ladder: Ladder | None, *, up: bool) -> Decimal | None:
    """The next rung above or below a price."""
    steps = ladder if ladder is not None else Ladder(((Decimal(0), Decimal(1)),))
    if up:
        return steps.next_above(price)
    return steps.highest_upto(price - CENT)
