"""Calendar: the dates to come, day by day."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from watchlist.core.calendar.record import Dated
from watchlist.desk.decisions import noting
from watchlist.desk.desk import Desk
from watchlist.desk.in_hand.dates import Dates, dates
from watchlist.desk.recording import Decided
from watchlist.page.columns import cells, wrap
from watchlist.page.dates import KINDS, day_ahead, day_words, hour_words, in_days
from watchlist.page.lists import Column, Fitted, fit
from watchlist.screens.looks import Paint, ink
from watchlist.screens.parts.dispatch import Doing, Has
from watchlist.screens.table_screen import TableScreen
from watchlist.shelf.store.rows import LotRow

COLUMNS = (
    Column("day", 11),
    Column("hour", 5),
    Column("in", 10, rank=2),
    Column("kind", 18, rank=3),
    Column("what", 24),
)
WHAT = 4
MOST_WHAT = 64
"""Cells that the words of a date have before other columns have theirs."""


class DateRows:
    """Dates in rows."""

    none = "No dates yet. Press 1, then f on a lot, to follow it; a adds a date of your own."

    def __init__(self, desk: Callable[[], Desk]) -> None:
        self._desk = desk
        self.found = Dates((), ())

    def items(self) -> Sequence[Dated]:
        """All dates to come, soonest first."""
        self.found = dates(self._desk())
        return self.found.coming

    def text_of(self, item: Dated) -> str:
        """What a sift looks in."""
        return f"{item.what} {KINDS[item.kind]} {day_words(item.day)}"

    def head(self, width: int) -> str:
        """The columns."""
        return self._fitted(width).head()

    def _fitted(self, width: int) -> Fitted:
        longest = max((cells(each.what) for each in self.found.coming), default=0)
        return fit(COLUMNS, width, flexible=WHAT, least=max(min(longest, MOST_WHAT), 24))

    def lines(self, item: Dated, width: int) -> Sequence[Paint]:
        """One date, its words never cut."""
        desk = self._desk()
        texts = (
            day_ahead(item.day, desk.local_today()),
            hour_words(item, desk.settings.home.zone),
            in_days(item.day, desk.local_today()),
            KINDS[item.kind],
            item.what,
        )
        role = "ink!" if item.day == desk.local_today() else "ink"
        return [[(role, line)] for line in self._fitted(width).wrapped(texts, (WHAT,))]


class CalendarScreen(TableScreen[DateRows, Dated]):
    """The dates to come."""

    ID = "calendar"
    TITLE = "Calendar"
    ROWS = DateRows

    def doing(self) -> Doing:
        """What is done to dates."""
        return {
            "copy": self.table.on_item(lambda date: self.program.outside.copy(self._told(date))),
            "open": self._open,
            "add": self._add,
        }

    def has(self) -> Has:
        """A date that is of a lot."""
        return {"more": self._lot}

    def head(self) -> Paint:
        """How many, how many of them today."""
        today = sum(each.day == self.program.access.desk.local_today() for each in self.table.all)
        parts = (f"{len(self.table.shown)} of {len(self.table.all)} dates", f"{today} today" if today else "")
        return self.table.title(self.TITLE, parts, self.app.size.width)

    def why(self, width: int, lines: int) -> str:
        """The date in words, and how to take all of them elsewhere."""
        date = self.table.item
        said = f"{self._told(date)}." if date else ""
        left_out = f"{len(self.rows.found.left_out)} without a sure hour." if self.rows.found.left_out else ""
        return " ".join(filter(None, (said, left_out, "`watchlist calendar FILE.ics` writes them for your calendar.")))

    def pane(self, width: int, height: int) -> Sequence[Paint]:
        """The date in full, and what stands in no calendar."""
        text = wrap(self.why(width, 0), width)
        for each in self.rows.found.left_out:
            text += ["", *wrap(each, width)]
        return ink(text)

    def step_from(self, key: str, by: int) -> LotRow | None:
        """The next date that is of a lot, for the Ticket over it."""
        self.table.listing.step(by)
        return self._lot()

    def _told(self, date: Dated) -> str:
        hour = hour_words(date, self.program.access.desk.settings.home.zone)
        note = f" ({date.note})" if date.note else ""
        return f"{day_words(date.day)}{f' {hour}' if hour else ''}: {date.what}{note}"

    def _lot(self) -> LotRow | None:
        date = self.table.item
        return self.program.access.shelf.store.lots.get(date.key) if date and date.kind in ("close", "place") else None

    def _open(self) -> None:
        row = self._lot()
        if row is not None:
            self.program.windows.open("ticket", row.lot.key, self.step_from)

    def _add(self) -> None:
        """A date of one's own: its day first, then its words."""
        self.dialogue.ask("Day (2026-03-29, or with 14:00):", self._ask_words)

    def _ask_words(self, day: str) -> None:
        if day:
            self.call_later(lambda: self.dialogue.ask(f"{day}, what:", lambda text: self._write(text, day)))

    def _write(self, text: str, day: str) -> None:
        def written(done: Decided) -> None:
            self.program.changes.happened()
            warned = f"{'; '.join(done.warnings)}. " if done.warnings else ""
            self.program.messages.say_undoable(f"{warned}{done.said}")

        self.program.writer.write(f"{text}, {day}", lambda desk: noting.remind(desk, text, day), written)
