"""The prices realised of one coin: every sale with its part in the band; set one aside, or count it less."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from decimal import Decimal, InvalidOperation

from watchlist.core.prices.realised import PriceRealised
from watchlist.desk.desk import Desk
from watchlist.desk.errors import DeskError
from watchlist.desk.prices.amending import DUE, Amended, correct, delete, move
from watchlist.desk.prices.weighing import Weighed, weigh
from watchlist.page import prices as words
from watchlist.page.columns import cut, wrap
from watchlist.page.lists import Column, fit
from watchlist.page.prices import SaleLine
from watchlist.screens.coin_market import CoinMarket, Shown
from watchlist.screens.frame import Frame
from watchlist.screens.looks import Paint
from watchlist.screens.parts.dispatch import Doing, Has
from watchlist.screens.parts.table import Table
from watchlist.screens.program import Program

DAY, GRADE, KIND, SEEN = Column("day", 10), Column("grade", 14), Column("", 4, rank=3), Column("price", 12, right=True)
WEIGHT, TRUST = Column("weight", 6, right=True, rank=2), Column("fit", 7, right=True, rank=5)
VENUE = Column("venue", 12)


class SaleRows:
    """The sales in rows, with the coin as it is looked at."""

    none = "No prices realised of this coin. Press esc to go back, i to read a file of them."

    def __init__(self, market: Callable[[], CoinMarket]) -> None:
        self._market = market
        self.looked: Shown | None = None

    def items(self) -> Sequence[SaleLine]:
        """The sales, newest first, those set aside too."""
        self.looked = self._market().shown()
        return self.looked.lines if self.looked else ()

    def text_of(self, item: SaleLine) -> str:
        """What a sift looks in."""
        return " ".join(words.cells_of(item))

    def _columns(self) -> tuple[Column, ...]:
        grade = self.looked.answer.grade if self.looked else None
        return (DAY, GRADE, KIND, SEEN, Column(words.today_head(grade), 9, right=True), WEIGHT, TRUST, VENUE)

    def head(self, width: int) -> str:
        """The columns."""
        return fit(self._columns(), width, flexible=7, least=6).head()

    def row(self, item: SaleLine, width: int) -> Paint:
        """One sale; of one that does not count the reason."""
        *cells, last = words.cells_of(item)
        if item.aside:
            said = fit((DAY, GRADE, KIND, SEEN, VENUE), width, flexible=4, least=6).row((*cells[:4], item.aside))
            return [("quiet", said)]
        last = item.wild.partition(":")[0] or last
        return [("ink", fit(self._columns(), width, flexible=7, least=6).row((*cells, last)))]


class Sales(Frame):
    """All sales of the coin that is highlighted on Prices."""

    ID = "sales"
    TITLE = "Prices realised"
    WHY = 3
    DEFAULT_CSS = "Sales #why { height: 3; } Sales.-short #why { height: 1; }"

    def __init__(self, program: Program, market: Callable[[], CoinMarket]) -> None:
        self._market = market
        self.rows = SaleRows(market)
        self.table = Table(self.rows, program.brush, self.redraw_row)
        super().__init__(program, table=self.table)

    def doing(self) -> Doing:
        """What is done to sales. The other part of the screen are the coins."""
        windows, on_sale = self.program.windows, self.table.on_item
        return {
            "copy": on_sale(lambda _: self.program.outside.copy(self.why(0, 0))),
            "open": lambda: windows.open("detail", self.TITLE, lambda width: self.pane(width, 0)),
            "part": windows.close,
            "part-back": windows.close,
            "grade-up": lambda: self._look(lambda market: market.step_grade(1)),
            "grade-down": lambda: self._look(lambda market: market.step_grade(-1)),
            "class": lambda: self._look(lambda market: market.turn_class()),
            "set-aside": on_sale(self._set_aside),
            "weigh": on_sale(self._ask_weight),
            "move-sale": on_sale(self._ask_coin),
            "correct-sale": on_sale(self._ask_correction),
            "delete-sale": on_sale(lambda line: self._amend(lambda desk: delete(desk, str(line.sale.id)))),
        }

    def has(self) -> Has:
        """A sale, a coin; band and plots are there without any sale."""
        looked, sale = lambda: self.rows.looked, lambda: self.table.item
        return {"sale": sale, "coin": looked, "more": looked, "something open": lambda: True}

    def go_back(self) -> None:
        """Back to the coins."""
        self.program.windows.close()

    def head(self) -> Paint:
        """The coin, its band as it stands, and how many sales count."""
        looked, wide = self.rows.looked, self.app.size.width
        if looked is None:
            return [("ink!", self.TITLE)]
        counted = sum(not line.aside for line in self.table.all)
        coin = looked.answer.issue.name
        line = "   ".join((self.TITLE, coin, looked.band, f"{counted} of {len(self.table.all)} count"))
        return [("ink!", line if len(line) <= wide else cut(f"{coin}   {looked.band}", wide))]

    def why(self, width: int, lines: int) -> str:
        """The sale in words."""
        looked = self.rows.looked
        if self.table.item is None or looked is None:
            return ""
        answer, home = looked.answer, self.program.access.desk.home
        return words.sale_sentence(self.table.item, answer.grade, raw=answer.raw, currency=home)

    def pane(self, width: int, height: int) -> Sequence[Paint]:
        """The sale in words, the band, both plots and what the band rests on."""
        looked = self.rows.looked
        if looked is None:
            return ()
        lines = [*wrap(self.why(0, 0), width), "", *self._market().lines(looked, width)]
        return [[("ink", cut(line, width))] for line in lines]

    def _look(self, turn: Callable[[CoinMarket], None]) -> None:
        turn(self._market())
        self.load()
        self.redraw()

    # --- mending ---

    def _ask_coin(self, line: SaleLine) -> None:
        """Ask which coin was sold."""
        looked = self.rows.looked
        coin = looked.answer.issue.name if looked else ""

        def done(text: str) -> None:
            self._amend(lambda desk: move(desk, str(line.sale.id), text))

        self.dialogue.ask("It was a:", done, value=coin)

    def _ask_correction(self, line: SaleLine) -> None:
        """Ask what is wrong with the sale."""

        def done(text: str) -> None:
            self._amend(lambda desk: correct(desk, str(line.sale.id), text.split(";")))

        self.dialogue.ask("Correct, such as grade=VF-30; price=120:", done)

    def _amend(self, job: Callable[[Desk], Amended]) -> None:
        """Write it; the bands follow in the background."""

        def done(amended: Amended) -> None:
            self.program.changes.happened(all=True)
            self.program.messages.say_undoable(f"{amended.said[:1].upper()}{amended.said[1:]}")
            self.program.follow_ups.bands(DUE)

        self.program.writer.write("The sale", job, done, long=True)

    # --- weights ---

    def _set_aside(self, line: SaleLine) -> None:
        """Set the sale aside, or count it in full again."""
        self._weigh(line.sale, Decimal(0) if line.sale.weight > 0 else Decimal(1), line.note)

    def _ask_weight(self, line: SaleLine) -> None:
        """Ask how much the sale counts, and why."""
        value = f"{line.sale.weight:g} {line.note}".strip()

        def done(text: str) -> None:
            self._weigh(line.sale, *weight_typed(text))

        self.dialogue.ask("Weight 0 to 1, then a note:", done, value=value, check=weight_typed)

    def _weigh(self, sale: PriceRealised, weight: Decimal, note: str) -> None:
        """Write it; the coin's own band follows at once, the whole market in the background."""
        said = f"Sale {sale.id} is excluded" if not weight else f"Sale {sale.id} has weight {weight.normalize():f}"

        def done(weighed: Weighed) -> None:
            self.program.changes.happened(all=True)
            self.program.messages.say_undoable(said)
            if float(weight) != sale.weight:
                self.program.follow_ups.bands(weighed.due)

        self.program.writer.write(said, lambda desk: weigh(desk, sale.id, weight, note), done)


def weight_typed(text: str) -> tuple[Decimal, str]:
    """Weight and note as typed. Raises DeskError."""
    number, _, note = text.partition(" ")
    try:
        weight = Decimal(number.replace(",", "."))
    except InvalidOperation:
        weight = Decimal("NaN")
    if not weight.is_finite():
        raise DeskError(
            f"`{number}` is not a valid weight; type 0 to 1 and a note: `0.5 a relisting`. Nothing was changed."
        )
    if not 0 <= weight <= 1:
        raise DeskError(f"A weight lies between 0 and 1, not {number}; 0 excludes the sale. Nothing was changed.")
    return weight, note.strip()
