"""Plan: the best set of bids found inside the budget, with the chance and the saving of each."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from decimal import Decimal
from functools import partial

from watchlist.core.decisions.review import State
from watchlist.core.marks.reasons import figure
from watchlist.desk.desk import Desk
from watchlist.desk.errors import PLAIN
from watchlist.desk.plan.plan import Mode, PlanShown, plan, take, what_if_rows
from watchlist.desk.plan.season import BudgetLine, budgets
from watchlist.page import plots
from watchlist.page.bids import fitted, short_number
from watchlist.page.columns import table as in_columns
from watchlist.page.columns import wrap
from watchlist.page.plan import COIN, COLUMNS, LOT, PlannedBid, lines_in_cells, signs_of
from watchlist.page.wording import CAUTION_BIDS, count, money
from watchlist.screens.looks import Paint, ink
from watchlist.screens.parts.cells import Cells
from watchlist.screens.parts.dispatch import Doing, Has
from watchlist.screens.parts.on_lots import lot_actions
from watchlist.screens.program import Program
from watchlist.screens.table_screen import TableOverPane
from watchlist.shelf.store.rows import LotRow

PLANNING = "Planning ..."


Found = tuple[PlanShown | str, Sequence[BudgetLine]]
"""A plan, or why there is none; and the budgets."""


class PlanRows:
    """The bids of a plan in rows; what waits for a loss stands below."""

    def __init__(self, desk: Callable[[], Desk]) -> None:
        self._desk = desk
        self.mode: Mode = "standing"
        self.shown: PlanShown | None = None
        self.budgets: Sequence[BudgetLine] = ()
        self.none = PLANNING
        self._cells = Cells(partial(fitted, coin=COIN), COLUMNS)

    def found(self, shown: PlanShown | str, budgets: Sequence[BudgetLine]) -> None:
        """What came of planning: a plan, or why there is none."""
        self.budgets = budgets
        self.shown = None if isinstance(shown, str) else shown
        self.none = shown if isinstance(shown, str) else "; ".join(shown.notes) or "No bid fits the budget."

    def items(self) -> Sequence[PlannedBid]:
        """The bids, closing soonest first, then those that wait."""
        desk = self._desk()
        bids, waiting = (self.shown.bids, self.shown.waiting) if self.shown else ((), ())
        cells = lines_in_cells(bids, waiting, desk.home, desk.settings.home.zone, desk.local_today())
        found = (*bids, *waiting)
        self._cells.put({bid.key: each for bid, each in zip(found, cells, strict=True)})
        return found

    def text_of(self, item: PlannedBid) -> str:
        """What a sift looks in."""
        return f"{item.title} {item.venue} {' '.join(self._cells[item.key])}"

    def head(self, width: int) -> str:
        """The columns."""
        return self._cells.head(width)

    def lines(self, item: PlannedBid, width: int) -> Sequence[Paint]:
        """One bid, its coin and lot number never cut; one that waits is quiet."""
        role = "quiet" if self.shown is not None and item in self.shown.waiting else "ink"
        return [[(role, line)] for line in self._cells.wrapped(item.key, width, (LOT, COIN))]


class PlanScreen(TableOverPane[PlanRows, PlannedBid]):
    """The plan."""

    ID = "plan"
    TITLE = "Plan"
    ROWS = PlanRows

    def __init__(self, program: Program) -> None:
        super().__init__(program)
        self._on_lots = lot_actions(program, self, self.dialogue)

    def doing(self) -> Doing:
        """What is done with a plan, and to its lots."""
        return {
            **self._on_lots.doing,
            "open": self.table.on_item(lambda bid: self.program.windows.open("ticket", bid.key, self.step_from)),
            "attended": self._turn_mode,
            "what-if": self._what_if,
            "take": self._take,
        }

    def has(self) -> Has:
        """A bid and its lot."""
        return {"lot": self.current}

    def current(self) -> LotRow | None:
        """The lot of the highlighted bid."""
        bid = self.table.item
        return self.program.access.shelf.store.lots.get(bid.key) if bid else None

    def step_from(self, key: str, by: int) -> LotRow | None:
        """The lot of the bid before or behind this one, for the Ticket over it."""
        self.table.listing.step(by)
        return self.current()

    # --- how it reads ---

    def head(self) -> Paint:
        """The kind of plan, its bids, what they cost and save."""
        shown = self.rows.shown
        parts = (self.rows.mode, *_sums(shown)) if shown else (self.rows.mode,)
        return self.table.title(self.TITLE, parts, self.app.size.width)

    def why(self, width: int, lines: int) -> str:
        """The bid in words, what speaks against it, the caution."""
        bid = self.table.item
        said = ""
        if bid is not None:
            limit = f", bid limit {money(bid.limit)}" if bid.limit else ""
            said = (
                f"{bid.title}: bid {money(bid.bid)} hammer{limit}, could cost up to {money(bid.alone)} all in; "
                f"{bid.chance:.0%} to win at this bid, likely {money(bid.likely)}."
            )
            said += "".join(f" {note[:1].upper()}{note[1:]}." for note in bid.notes)
        written = "T writes these bids: planned, not sent." if self.rows.shown and self.rows.shown.bids else ""
        signs = [f"{sign}." for sign in signs_of(self.rows.shown.bids)] if self.rows.shown else ()
        return " ".join(filter(None, (said, written, *signs, CAUTION_BIDS)))

    def pane(self, width: int, height: int) -> Sequence[Paint]:
        """What each bid is likely to bring, the budgets, and the bid's own sentence."""
        shown, draw = self.rows.shown, self.program.access.desk.drawing
        lines: list[Paint] = []
        if shown is not None and shown.bids:
            bars = [plots.Chance(short_number(bid.number), bid.chance, bid.saving.amount) for bid in shown.bids]
            lines += [[("ink!", "Chance and expected saving of each bid")]]
            lines += ink(wrap(plots.chance_sentence(bars, shown.saving), width))
            lines += ink(plots.chances(bars, width=width, draw=draw) if draw else [])
        lines += [[("ink", "")], [("ink!", "Budgets")]]
        lines += ink(_season(self.rows.budgets, width))
        return [*lines, [("ink", "")], *ink(wrap(self.why(width, 0), width))]

    # --- what is done ---

    def load(self) -> None:
        """Plan anew beside the screen; until then the plan before is shown, of the same kind."""
        mode = self.rows.mode

        def job(desk: Desk) -> Found:
            try:
                return plan(desk, mode), budgets(desk)
            except PLAIN as error:
                return str(error), budgets(desk)

        def done(found: Found) -> None:
            if mode == self.rows.mode:
                self.rows.found(*found)
                super(PlanScreen, self).load()
                self.redraw()

        self.program.work.look_up("Planning", job, done, stoppable=True)

    def _turn_mode(self) -> None:
        self.rows.mode = "attended" if self.rows.mode == "standing" else "standing"
        self.rows.found(PLANNING, self.rows.budgets)
        super().load()
        self.reload()
        self.redraw()

    def _what_if(self) -> None:
        mode = self.rows.mode

        def show(shown: PlanShown) -> None:
            text = in_columns(what_if_rows(shown), right=frozenset({1, 2, 3, 4, 5}))
            self.program.windows.open("detail", "What if", lambda width: ink(text))

        self.program.work.look_up("Planning what if", lambda desk: plan(desk, mode, what_if=True), show, stoppable=True)

    def _take(self) -> None:
        """Write the bids; what speaks against them is asked first."""
        shown = self.rows.shown
        if shown is None or not shown.bids:
            self.program.messages.say("The plan has no bid." if shown else self.rows.none)
            return
        lots: dict[str, State] = {bid.key: "bid" for bid in shown.bids}
        self._saying.write("Take the plan", lambda desk, anyway: take(desk, shown, anyway=anyway), lots=lots)


def _sums(shown: PlanShown) -> tuple[str, ...]:
    if not shown.bids:
        return ("no bids",)
    bids, of = count(len(shown.bids), "bid"), f"of {figure(shown.amount.amount)} {shown.amount.currency}"
    standing = shown.mode == "standing"  # who attends stops when the money is spent
    spent = f"up to {figure(shown.worst.amount)} {of}" if standing else f"{figure(shown.spending.amount)} {of} expected"
    return (
        f"{bids}, {spent}",
        f"saves {figure(shown.saving.amount)}",
        f"{shown.pieces:.1f} pieces expected",
    )


def _season(found: Sequence[BudgetLine], width: int) -> list[str]:
    """What every budget holds, and what is left."""
    heads = ("budget", "until", "amount", "won", "placed", "planned", "set aside", "left")
    rows: list[tuple[str, ...]] = [heads]
    for each in found:
        won = each.paid.amount + each.owed.amount
        bids = (each.amount.amount, won, each.placed.amount + each.undecided.amount, each.planned.amount)
        until = each.last.isoformat() if each.last else "7 days"
        rows.append((each.name, until, *map(_whole, bids), _whole(each.aside.amount), _whole(each.left.amount)))
    return in_columns(rows, right=frozenset(range(2, 8)), width=width, give=(0,))


def _whole(amount: Decimal) -> str:
    return f"{amount:,.0f}"
