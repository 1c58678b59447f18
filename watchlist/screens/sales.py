"""The prices realised of one coin: every sale with its part in the band; set one aside, or count it less."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal, InvalidOperation
from typing import TYPE_CHECKING

from watchlist.desk.errors import DeskError
from watchlist.page import prices as words
from watchlist.page.columns import cut, wrap
from watchlist.page.lists import Column, fit
from watchlist.page.prices import SaleLine
from watchlist.page.wording import coin_name
from watchlist.screens.looks import Paint
from watchlist.screens.table import Table

if TYPE_CHECKING:
    from watchlist.core.prices.realised import PriceRealised
    from watchlist.desk.desk import Desk
    from watchlist.desk.weighing import Weighed
    from watchlist.screens.prices import Prices, Shown

DAY, GRADE, KIND, SEEN = Column("day", 10), Column("grade", 8), Column("", 4, rank=4), Column("as seen", 12, right=True)
WEIGHT, TRUST, VENUE = Column("weight", 6, right=True), Column("trust", 5, right=True, rank=3), Column("venue", 12)


class Sales(Table[SaleLine]):
    """All sales of the coin that is highlighted on Prices."""

    ID = "sales"
    TITLE = "Prices realised"
    WHY = 3
    DEFAULT_CSS = "Sales #why { height: 3; } Sales.-short #why { height: 1; }"

    def __init__(self, behind: Prices) -> None:
        super().__init__()
        self.behind = behind
        self.looked: Shown | None = None

    def items(self) -> Sequence[SaleLine]:
        """The sales, newest first, those set aside too."""
        if self.app.stale(self.behind):
            self.behind.reload()
        self.looked = self.behind.looked_at()
        return self.looked.lines if self.looked else ()

    def text_of(self, item: SaleLine) -> str:
        """What a sift looks in."""
        return " ".join(words.cells_of(item))

    def head(self) -> Paint:
        """The coin, its band as it stands, and how many sales count."""
        if self.looked is None:
            return [("ink!", self.TITLE)]
        counted = sum(not line.aside for line in self.all)
        coin, wide = coin_name(self.looked.answer.issue), self.app.size.width
        parts = [self.TITLE, coin, self.looked.band, f"{counted} of {len(self.all)} count"]
        line = "   ".join(parts)
        return [("ink!", line if len(line) <= wide else cut("   ".join(parts[1:3]), wide))]

    def _columns(self) -> tuple[Column, ...]:
        grade = self.looked.answer.grade if self.looked else None
        return (DAY, GRADE, KIND, SEEN, Column(words.today_head(grade), 9, right=True), WEIGHT, TRUST, VENUE)

    def list_head(self, width: int) -> str:
        """The columns."""
        return fit(self._columns(), width, flexible=7, least=6).head()

    def list_row(self, at: int, width: int) -> Paint:
        """One sale; of one that does not count the reason."""
        line = self.shown[at]
        *cells, last = words.cells_of(line)
        if line.aside:
            said = fit((DAY, GRADE, KIND, SEEN, VENUE), width, flexible=4, least=6).row((*cells[:4], line.aside))
            return [("quiet", said)]
        last = line.wild.partition(":")[0] or last
        return [("ink", fit(self._columns(), width, flexible=7, least=6).row((*cells, last)))]

    def list_empty(self) -> str:
        """What to press."""
        return "No prices realised of this coin. esc goes back; i reads a file of them."

    def why(self) -> str:
        """The sale in words."""
        if self.item is None or self.looked is None:
            return ""
        answer = self.looked.answer
        return words.sale_sentence(self.item, answer.grade, raw=answer.raw, currency=self.app.session.desk.home)

    def pane(self, width: int, height: int) -> Sequence[Paint]:
        """The sale in words, the band, both plots and what the band rests on."""
        if self.looked is None:
            return ()
        lines = [*wrap(self.why(), width), "", *self.behind.market_lines(self.looked, width)]
        return [[("ink", cut(line, width))] for line in lines]

    def copy_line(self) -> str:
        """The sale in words."""
        return self.why()

    # --- keys ---

    def can(self, id: str) -> bool:
        """Weights need a sale; back can always be gone."""
        if id in ("set-aside", "weigh"):
            return self.item is not None
        return id == "back" or super().can(id)

    def do_back(self) -> None:
        """Stop the fit; else back to the coins."""
        if not self.app.stop_work():
            self.app.pop_screen()

    def do_open(self) -> None:
        """Sale, band and plots as a screen of their own, for a window without room for the pane."""
        from watchlist.screens.detail import Detail

        self.app.push_screen(Detail(self.TITLE, lambda width: self.pane(width, 20)))

    def do_part(self) -> None:
        """Back to the coins."""
        self.app.pop_screen()

    def do_part_back(self) -> None:
        """Back to the coins."""
        self.app.pop_screen()

    def do_grade_up(self) -> None:
        """A better grade."""
        self.behind.step_grade(1)
        self._look_again()

    def do_grade_down(self) -> None:
        """A lesser grade."""
        self.behind.step_grade(-1)
        self._look_again()

    def do_class(self) -> None:
        """Raw or certified."""
        self.behind.turn_class()
        self._look_again()

    def _look_again(self) -> None:
        self.load()
        self.redraw()

    def do_set_aside(self) -> None:
        """Set the sale aside, or count it in full again."""
        if self.item is not None:
            weight = Decimal(0) if self.item.sale.weight > 0 else Decimal(1)
            self._weigh(self.item.sale, weight, self.item.note)

    def do_weigh(self) -> None:
        """Ask how much the sale counts, and why."""
        line = self.item
        if line is not None:
            value = f"{line.sale.weight:g} {line.note}".strip()
            self.ask("Counts 0 to 1, then a note:", lambda text: self._typed(line, text), value=value, check=_weight)

    def _typed(self, line: SaleLine, text: str) -> None:
        self._weigh(line.sale, *_weight(text))

    def _weigh(self, sale: PriceRealised, weight: Decimal, note: str) -> None:
        """Write it; the coin's own band follows at once, the whole market in the background."""
        from watchlist.desk import weighing
        from watchlist.desk.recording import Decided

        said = f"Sale {sale.id} is set aside" if not weight else f"Sale {sale.id} counts {weight.normalize():f}"

        def job(desk: Desk) -> Weighed:
            return weighing.weigh(desk, sale.id, weight, note)

        def done(weighed: Weighed) -> None:
            self.app.changed(all=True)
            self.app.say(f"{said}. {self.app.keys.first('undo')} undoes it.")
            if float(weight) != sale.weight:
                self.app.follow_up(Decided((), said, due=weighed.due))

        self.app.write(said, job, done)


def _weight(text: str) -> tuple[Decimal, str]:
    """Weight and note as typed. Raises DeskError."""
    number, _, note = text.partition(" ")
    try:
        weight = Decimal(number.replace(",", "."))
    except InvalidOperation:
        weight = Decimal("NaN")
    if not weight.is_finite():
        raise DeskError(f"`{number}` is no weight; type 0 to 1 and a note: `0.5 a relisting`. Nothing was changed.")
    if not 0 <= weight <= 1:
        raise DeskError(f"A weight lies between 0 and 1, not {number}; 0 sets the sale aside. Nothing was changed.")
    return weight, note.strip()
