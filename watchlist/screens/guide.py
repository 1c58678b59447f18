"""Guide: the issues of a series, what each brings, how scarce it is, how it moved; and the way into a file."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from functools import cached_property, partial

from watchlist.core.folding import folded
from watchlist.core.guide import rounding
from watchlist.core.guide.order import ORDERS
from watchlist.core.guide.record import USUAL, Entry, Guide
from watchlist.core.guide.record import Column as Grade
from watchlist.desk.desk import Desk
from watchlist.desk.errors import DeskError
from watchlist.desk.files import FileThere
from watchlist.desk.guide import guide as guides
from watchlist.page import guide as page
from watchlist.page.columns import wrap
from watchlist.page.guide_forms import ENDINGS
from watchlist.page.lists import Column, fit
from watchlist.screens.coin_market import CoinMarket
from watchlist.screens.looks import Paint, ink
from watchlist.screens.parts.cells import Cells
from watchlist.screens.parts.dispatch import Doing, Has
from watchlist.screens.table_screen import TableScreen

BY = Grade(40, raw=True)
"""The grade that scarcity and value look at."""
BRIEFLY = (BY, Grade(63, raw=False))
"""Grades of the line under a narrow list."""
STYLE = page.Style(by=BY, rounding=rounding.steps(rounding.USUAL), parts=("struck", "seen", "sales", "rise", "record"))
RANKS = (0, 11, 10, 3, 0, 9, 8, 1, 7, 2, 4, 5, 6, 12)
"""How long each column is kept in a narrow window: issue and XF-40 always; the record, which is wide, goes first."""
MEANING = "medians, {}; (..) similar issues, - too few sales; seen: by you"
MAKING = "Calculating ..."


class GuideRows:
    """The issues of one series in rows."""

    def __init__(self, desk: Callable[[], Desk]) -> None:
        self._desk = desk
        self.style = STYLE
        self.made: Guide | None = None
        self.none = MAKING
        self._cells = Cells(partial(fit, least=10))

    def items(self) -> Sequence[Entry]:
        """The issues in the order that was chosen."""
        if self.made is None:
            return ()
        laid = page.sheet(self.made, self.style)
        heads = [Column(head, 0, place > 0, RANKS[place]) for place, head in enumerate(laid.head)]
        self._cells.put({entry.issue.key: row for entry, row in zip(laid.entries, laid.rows, strict=True)}, heads)
        return laid.entries

    def text_of(self, item: Entry) -> str:
        """What a sift looks in."""
        return f"{item.issue.name} {' '.join(self._cells[item.issue.key])}"

    def head(self, width: int) -> str:
        """The columns."""
        return self._cells.head(width)

    def row(self, item: Entry, width: int) -> Paint:
        """One issue."""
        return [("ink" if item.sales else "quiet", self._cells.row(item.issue.key, width))]


class GuideScreen(TableScreen[GuideRows, Entry]):
    """A series at a time."""

    ID = "guide"
    TITLE = "Guide"
    ROWS = GuideRows
    _series = 0
    """Which of the catalogue's series."""

    @cached_property
    def _market(self) -> CoinMarket:
        """What the highlighted issue brings."""

        def key() -> str | None:
            return self.table.item.issue.key if self.table.item else None

        return CoinMarket(lambda: self.program.access.desk, key)

    def doing(self) -> Doing:
        """What is done with a guide."""
        windows, on = self.program.windows, self.table.on_item
        return {
            "copy": on(lambda entry: self.program.outside.copy(self._told(entry))),
            "open": on(lambda _: windows.open("sales", lambda: self._market)),
            "sort": self._sort,
            "next-series": lambda: self._step(1),
            "last-series": lambda: self._step(-1),
            "write": self._ask_file,
        }

    def has(self) -> Has:
        """An issue."""
        return {"row": lambda: self.table.item}

    def load(self) -> None:
        """The guide anew, beside the person: it asks the market for every issue."""
        self._market.forget()
        super().load()
        known = guides.all_series(self.program.access.desk)
        if not known:
            self.rows.none = "No catalogue yet. i reads one, or `watchlist import catalogue FILE`."
            return
        issues = known[self._series % len(known)]

        def job(desk: Desk) -> Guide | DeskError:
            try:
                return guides.guide(desk, issues, USUAL)
            except DeskError as error:  # a series without prices is no fault: it says so in the list's place
                return error

        def done(found: Guide | DeskError) -> None:
            self.rows.made = found if isinstance(found, Guide) else None
            self.rows.none = str(found) if isinstance(found, DeskError) else MAKING
            super(GuideScreen, self).load()
            self.redraw()

        self.program.work.look_up(f"Guide to {guides.series_name(issues)}", job, done)

    # --- how it reads ---

    def head(self) -> Paint:
        """The series, its issues, their order, what a figure is."""
        made = self.rows.made
        if made is None:
            return self.table.title(self.TITLE, (), self.app.size.width)
        order = ORDERS[self.rows.style.order][1].format(grade=page.heading(BY))
        number, all = len(self.table.shown), len(self.table.all)
        shown = f"{all} issues" if number == all else f"{number} of {all} issues"
        parts = (made.series, shown, order)
        return self.table.title(self.TITLE, parts, self.app.size.width)

    def legend(self, width: int) -> str:
        """What brackets and dashes mean."""
        made = self.rows.made
        return MEANING.format(f"{made.currency} {made.kind}") if made else ""

    def why(self, width: int, lines: int) -> str:
        """The issue in words."""
        return self._told(self.table.item, BRIEFLY) if self.table.item else ""

    def pane(self, width: int, height: int) -> Sequence[Paint]:
        """The issue in words, its market, the caution."""
        found = self._market.shown()
        if self.table.item is None or found is None:
            return ()
        text = [*wrap(self._told(self.table.item), width), "", *self._market.lines(found, width)]
        return ink([*text, "", *wrap(page.CAUTION, width)])

    def _told(self, entry: Entry, grades: Sequence[Grade] = USUAL) -> str:
        made = self.rows.made
        return page.told(entry, grades, made.currency) if made else ""

    # --- what is done ---

    def _sort(self) -> None:
        known = list(ORDERS)
        order = known[(known.index(self.rows.style.order) + 1) % len(known)]
        self.rows.style = replace(self.rows.style, order=order)
        self.table.sift(self.table.text)
        super().load()
        self.redraw()

    def _step(self, by: int) -> None:
        self._series += by
        self.rows.made, self.rows.none = None, MAKING
        self.table.sift("")
        self.reload()
        self.redraw()

    def _ask_file(self) -> None:
        made = self.rows.made
        if made is None:
            self.program.messages.say("There is no guide to write yet.")
            return
        name = "-".join(folded(made.series.partition(",")[0]).split())
        self.dialogue.ask(f"Write to ({', '.join(ENDINGS)}):", self._write, value=f"{name}.html")

    def _write(self, name: str, *, replace: bool = False) -> None:
        made = self.rows.made
        if made is None or not name:
            return
        try:
            said = guides.write(name, made, page.sheet(made, self.rows.style), replace=replace)
        except FileThere as there:
            why = str(there).partition(". ")[0]
            self.dialogue.confirm(f"{why}. Write over it?", lambda: self._write(name, replace=True))
            return
        self.program.messages.say(said)
