"""Prices: the coins, each with its grade chart, the course of its price and what its band rests on."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from watchlist.core.marks.reasons import band_sentence
from watchlist.core.prices.truegrades import IN_USE
from watchlist.page import charts
from watchlist.page import prices as words
from watchlist.page.columns import cut, wrap
from watchlist.page.lists import Column, fit
from watchlist.page.wording import ago, coin_name
from watchlist.screens.looks import Paint
from watchlist.screens.table import Table

if TYPE_CHECKING:
    from watchlist.desk.coins import Priced
    from watchlist.desk.pricing import PriceAnswer

COLUMNS = (
    Column("coin", 24),
    Column("sales", 6, right=True, rank=1),
    Column("newest", 13, rank=2),
    Column("wanted", 6, rank=3),
    Column("mintage", 12, right=True, rank=4),
)
NEWEST = 5
"""Sales shown beside the coins; Tab lists them all."""


@dataclass(frozen=True, slots=True)
class Shown:
    """One coin's market as it is looked at: in a grade, raw or certified."""

    answer: PriceAnswer
    lines: Sequence[words.SaleLine]

    @property
    def asked(self) -> str:
        """`XF-40 raw`."""
        return words.asked(self.answer.grade, raw=self.answer.raw)

    @property
    def band(self) -> str:
        """`XF-40 raw 380 to 460, middle 420 EUR`, or that there is none."""
        band = self.answer.band
        span = words.span(band) if band is not None else "no band"
        return f"{self.asked}: {span}"


class Prices(Table["Priced"]):
    """Bands and prices realised."""

    ID = "prices"
    TITLE = "Prices"

    def __init__(self) -> None:
        super().__init__()
        self._wished: dict[str, tuple[int, bool]] = {}
        self._shown: dict[str, Shown] = {}

    def items(self) -> Sequence[Priced]:
        """All coins of the catalogue, those with prices first."""
        from watchlist.desk.coins import priced

        self._shown.clear()
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
        cells = (
            coin_name(each.issue),
            str(each.prices) if each.prices else "-",
            newest,
            "w" if each.wanted else "",
            f"{each.issue.mintage:,}" if each.issue.mintage else "-",
        )
        return [("ink" if each.prices else "quiet", fit(COLUMNS, width).row(cells))]

    def list_empty(self) -> str:
        """What to press."""
        if self.text:
            return f"Nothing matches `{self.text}`. esc clears it."
        return "No coins yet. i reads a catalogue and prices realised, or `watchlist import catalogue FILE`."

    # --- the coin in full ---

    def looked_at(self) -> Shown | None:
        """The highlighted coin in the grade and class that are looked at."""
        if self.item is None:
            return None
        key = self.item.issue.key
        if key not in self._shown:
            self._shown = {key: self._look(key)}
        return self._shown[key]

    def _look(self, key: str) -> Shown:
        from watchlist.desk import pricing

        desk = self.app.session.desk
        grade, raw = self._wished.get(key) or pricing.usual_grade(desk.shelf.store.prices.of(key))
        answer = pricing.price(desk, key, (grade, grade), raw=raw)
        return Shown(answer, pricing.sale_lines(desk, answer))

    def _ask(self, grade: int, *, raw: bool) -> None:
        if self.item is not None:
            self._wished[self.item.issue.key] = grade, raw
            self._shown.clear()

    def step_grade(self, by: int) -> None:
        """Look at the next grade in use, up or down."""
        found = self.looked_at()
        if found is None:
            return
        grade = found.answer.grade or IN_USE[0]
        further = [each for each in IN_USE if (each > grade if by > 0 else each < grade)]
        if further:
            self._ask(further[0] if by > 0 else further[-1], raw=found.answer.raw)

    def turn_class(self) -> None:
        """Raw instead of certified, and back."""
        found = self.looked_at()
        if found is not None:
            self._ask(found.answer.grade or IN_USE[0], raw=not found.answer.raw)

    def why(self) -> str:
        """The coin in a sentence, and its band."""
        if self.item is None:
            return ""
        today = self.app.session.desk.local_today()
        return words.headline(self.item.issue, self.item.prices, self.item.newest, today)

    def why_in(self, width: int, lines: int) -> str:
        """The band too, where there is no room for the pane."""
        found = self.looked_at()
        return f"{found.band}. {self.why()} {self.app.keys.first('open')} lists its sales." if found else ""

    def pane(self, width: int, height: int) -> Sequence[Paint]:
        """Grade chart, course of the price, what the band rests on, the newest prices realised."""
        found = self.looked_at()
        if found is None:
            return ()
        lines = [*wrap(self.why(), width), *self.market_lines(found, width), ""]
        newest = [words.short_row(line, found.answer.grade) for line in found.lines[:NEWEST]]
        if newest:
            lines.append(f"Newest prices realised; {self.app.keys.first('part')} lists all {len(found.lines)}:")
        lines += newest or ["No prices realised."]
        return [[("ink", cut(line, width))] for line in lines]

    def market_lines(self, found: Shown, width: int) -> list[str]:
        """The band, both plots and the account, each with its sentence."""
        from watchlist.desk import pricing

        desk, answer = self.app.session.desk, found.answer
        if not answer.curve:
            why = answer.basis_note or "too little is known of this issue and its series"
            return wrap(f"No band: {why}.", width)
        counted = [line for line in found.lines if not line.aside]
        steps = words.rungs(answer.curve, counted, around=answer.grade)
        drawn = desk.settings.plots != "words"
        lines = [f"As {found.asked}:"]
        if answer.band is not None:
            lines = wrap(
                f"{lines[0]} {band_sentence(answer.band, answer.grade, answer.grade, desk.local_today())}", width
            )
        lines += ["", *wrap(charts.chart_sentence(steps, desk.home), width)]
        lines += charts.grade_chart(steps, price=None, grade=answer.grade, width=width) if drawn else []
        today = desk.local_today()
        lines += ["", *words.course(found.lines, answer.band, found.asked, today, width, drawn=drawn)]
        return [*lines, "", *pricing.account(desk, answer, width)]

    def copy_line(self) -> str:
        """The coin in a sentence."""
        return self.why()

    # --- keys ---

    def can(self, id: str) -> bool:
        """Grade and class are a coin's."""
        if id in ("grade-up", "grade-down", "class"):
            return self.item is not None
        return super().can(id)

    def do_open(self) -> None:
        """All prices realised of the coin."""
        from watchlist.screens.sales import Sales

        if self.item is not None:
            self.app.push_screen(Sales(self))

    def do_part(self) -> None:
        """The other part of the screen: the prices realised."""
        self.do_open()

    def do_part_back(self) -> None:
        """The same: there are two parts."""
        self.do_open()

    def do_grade_up(self) -> None:
        """A better grade."""
        self.step_grade(1)
        self.redraw()

    def do_grade_down(self) -> None:
        """A lesser grade."""
        self.step_grade(-1)
        self.redraw()

    def do_class(self) -> None:
        """Raw or certified."""
        self.turn_class()
        self.redraw()
