"""One coin's market as it is looked at: in a grade, raw or certified; its band, its plots, what the band rests on."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from watchlist.core.coins.issue import Issue
from watchlist.core.marks.reasons import piece_words, value_sentence
from watchlist.core.prices.truegrades import IN_USE
from watchlist.desk.desk import Desk
from watchlist.desk.guide.guide import scarcity
from watchlist.desk.prices import pricing
from watchlist.desk.prices.pricing import PriceAnswer
from watchlist.page import charts
from watchlist.page import prices as words
from watchlist.page.columns import wrap


@dataclass(frozen=True, slots=True)
class Shown:
    """What the market answers for one coin."""

    answer: PriceAnswer
    lines: Sequence[words.SaleLine]

    @property
    def asked(self) -> str:
        """`XF-40 raw`."""
        return words.asked(self.answer.grade, raw=self.answer.raw)

    @property
    def band(self) -> str:
        """`XF-40 raw: worth 380 to 460, median 420 EUR`, as in the sentence below it, or that there is no band."""
        value = self.answer.value
        span = f"worth {words.span(value)}" if value is not None else "no band"
        return f"{self.asked}: {span}"


class CoinMarket:
    """The coin that is looked at: the one whose key is given, in the grade and class that the person chose for it."""

    def __init__(self, desk: Callable[[], Desk], key: Callable[[], str | None]) -> None:
        self._desk, self._key = desk, key
        self._wished: dict[str, tuple[int, bool]] = {}
        self._shown: dict[str, Shown] = {}
        self._scarce: dict[str, list[str]] = {}

    def forget(self) -> None:
        """Prices have changed."""
        self._shown.clear()
        self._scarce.clear()

    def shown(self) -> Shown | None:
        """The coin in the grade and class that are looked at."""
        key = self._key()
        if key is None:
            return None
        if key not in self._shown:
            self._shown = {key: self._look(key)}
        return self._shown[key]

    def _look(self, key: str) -> Shown:
        desk = self._desk()
        grade, raw = self._wished.get(key) or pricing.usual_grade(desk.shelf.store.prices.of(key))
        answer = pricing.price(desk, key, (grade, grade), raw=raw)
        return Shown(answer, pricing.sale_lines(desk, answer))

    def step_grade(self, by: int) -> None:
        """Look at the next grade in use, up or down."""
        found = self.shown()
        if found is not None:
            grade = found.answer.grade or IN_USE[0]
            further = [each for each in IN_USE if (each > grade if by > 0 else each < grade)]
            if further:
                self._wish(further[0] if by > 0 else further[-1], raw=found.answer.raw)

    def turn_class(self) -> None:
        """Raw instead of certified, and back."""
        found = self.shown()
        if found is not None:
            self._wish(found.answer.grade or IN_USE[0], raw=not found.answer.raw)

    def _wish(self, grade: int, *, raw: bool) -> None:
        key = self._key()
        if key is not None:
            self._wished[key] = grade, raw
            self._shown.clear()

    def lines(self, found: Shown, width: int) -> list[str]:
        """The band, both plots and the account, each with its sentence."""
        desk, answer = self._desk(), found.answer
        if not answer.curve:
            why = answer.basis_note or "not enough sales of this issue and its series"
            return wrap(f"No band: {why}.", width)
        counted = [line for line in found.lines if not line.aside]
        steps = words.rungs(answer.curve, counted, around=answer.grade)
        draw, today = desk.drawing, desk.local_today()
        lines = [f"As {found.asked}:"]
        if answer.value is not None:
            piece = piece_words(answer.grade, answer.grade, raw=answer.raw, beyond=answer.traits)
            lines = wrap(value_sentence(answer.value, answer.band, piece, today), width)
        lines += wrap(beyond, width) if (beyond := words.beyond_grade(answer.effects)) else []
        lines += ["", *wrap(charts.chart_sentence(steps, desk.home), width)]
        lines += charts.grade_chart(steps, price=None, grade=answer.grade, width=width, draw=draw) if draw else []
        lines += ["", *words.course(found.lines, answer.band, found.asked, today, width, draw)]
        scarce = [line for each in self._scarcity(answer.issue) for line in wrap(each, width)]
        return [*lines, "", *pricing.account(desk, answer, width), *([""] if scarce else []), *scarce]

    def _scarcity(self, issue: Issue) -> list[str]:
        """All pieces of its series are counted for it, so that of the whole series is kept until prices change."""
        if issue.key not in self._scarce:
            self._scarce |= scarcity(self._desk(), issue)
        return self._scarce[issue.key]
