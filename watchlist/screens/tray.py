"""The Tray: lots to look at, closing soonest first, however many there are."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import cached_property
from typing import TYPE_CHECKING

from watchlist.core.sift import line as sift
from watchlist.core.sift.line import SiftError
from watchlist.desk.typed.lots_amended import delete
from watchlist.page import legend
from watchlist.page.ticket import Plot, sentence
from watchlist.screens import actions
from watchlist.screens.frame import Frame
from watchlist.screens.looks import Paint
from watchlist.screens.lot_facts import lot_facts
from watchlist.screens.parts.dispatch import Doing, Has
from watchlist.screens.parts.listing import Listing
from watchlist.screens.parts.ticks import Ticks
from watchlist.screens.program import Program
from watchlist.screens.tray_counts import TrayCounts
from watchlist.screens.tray_list import TrayList
from watchlist.shelf.store import Store
from watchlist.shelf.store.filters import Place
from watchlist.shelf.store.rows import LotLine, LotRow

if TYPE_CHECKING:
    from watchlist.screens.parts.on_lots import LotActions

PANE_DELAY = 0.03
"""Seconds a row must be highlighted before the pane beside it is laid out."""
OWN = ("tick", "delete-lots")
"""Actions on a lot that are not those of every screen with lots."""


class Tray(Frame):
    """Lots to look at."""

    ID = "tray"
    TITLE = "Tray"

    def __init__(self, program: Program) -> None:
        self.ticks = Ticks()
        self.lots = TrayList(
            program.access,
            program.view,
            program.keys,
            self.ticks,
            program.writer.pending,
            lambda: self.shape == "short",
        )
        self.rows = Listing(self.lots, program.brush, self._moved, self.from_first)
        super().__init__(program, self.rows)
        self.counting = TrayCounts(program.access, program.work.threads, self.set_timer, self.redraw)
        self.wrong = ""
        """What is wrong with the sift that is being typed."""
        self._row: LotRow | None = None

    @cached_property
    def on_lots(self) -> LotActions:
        """What is done to lots."""
        from watchlist.screens.parts.on_lots import lot_actions  # it judges: the first text does without

        return lot_actions(self.program, self, self.dialogue, self.ticks.lots)

    def doing(self) -> Doing:
        """The list's own actions, and all that is done to lots."""
        on_lots = [each.id for each in actions.on(self.ID) if each.needs == "lot" and each.id not in OWN]
        return {
            **{id: self._on_lots(id) for id in (*on_lots, "bench", "copy")},
            "open": self._open,
            "add": lambda: self.program.windows.open("lot form"),
            "tick": self._tick,
            "tick-all": self._tick_all,
            "delete-lots": self._delete,
            "sift": self._ask_sift,
            "next-match": lambda: self._match(1),
            "last-match": lambda: self._match(-1),
            "sort": lambda: self._reordered(self.lots.sort()),
            "turn": lambda: self._reordered(self.lots.turn()),
            "wanted": lambda: self._only("wanted"),
            "changed": lambda: self._only("changed"),
            "morning": lambda: self.program.windows.open("morning"),
        }

    def _delete(self) -> None:
        """Delete the lots that are ticked, or the one of the highlight; one with a bid or a result stays."""
        keys = [key for key, _ in self.ticks.lots()] or ([self.line.key] if self.line else [])

        def done(said: str) -> None:
            self.ticks.drop(keys)
            self.program.changes.happened(all=True)
            self.program.messages.say_undoable(f"{said[:1].upper()}{said[1:]}")

        self.program.writer.write("Deleting", lambda desk: delete(desk, keys), done)

    def _on_lots(self, id: str) -> Callable[[], object]:
        return lambda: self.on_lots.doing[id]()

    def has(self) -> Has:
        """Esc only where it has something to do."""
        return {
            "lot": lambda: self.ticks or self.line,
            "row": lambda: self.line,
            "more": lambda: self.line,
            "something open": lambda: self.lots.text or self.ticks or self.program.work.tasks.can_stop,
        }

    # --- reading the shelf ---

    def load(self) -> None:
        """The lots of this sift in this order; the highlight stays on its lot, or on the next that is left."""
        first, line = self.lots.roll is None, self.line
        self._row = None
        self.show(line.place if line else None)
        self.count(at_once=first)

    @property
    def _store(self) -> Store:
        return self.program.access.shelf.store

    def show(self, place: Place | None = None) -> None:
        """Show the lots from a place on, in the line of the window where the highlight stands."""
        offset = max(self.rows.at - self.rows.top, 0)
        self.rows.show_rows(self.lots.restart(place, offset), 0, offset)

    def from_first(self) -> None:
        """From the first lot on."""
        self.rows.top = self.rows.at = 0
        self.show()
        self.redraw_row()

    def count(self, *, at_once: bool = False) -> None:
        """Count what the head line tells."""
        if self.lots.roll is not None:
            self.counting.count(self.lots.roll, at_once=at_once)

    # --- what is shown ---

    @property
    def line(self) -> LotLine | None:
        """The highlighted line."""
        return self.lots.line(self.rows.at)

    def current(self) -> LotRow | None:
        """The highlighted lot, whole."""
        line = self.line
        if line is None:
            return None
        if self._row is None or self._row.lot.key != line.key:
            self._row = self._store.lots.get(line.key)
        return self._row

    def head(self) -> Paint:
        """Lots, what is new, bargains, doubts, sources; the sift."""
        if self.wrong and self.shape not in ("normal", "short"):  # no line of why is there to say it
            return [("ink!", f"{self.TITLE}  "), ("ink", self.wrong)]
        return [("ink!", self.lots.title(self.TITLE, self.counting.counts, self.app.size.width))]

    def why(self, width: int, lines: int) -> str:
        """The sentence on the highlighted lot."""
        row = self.current()
        return self.wrong or (sentence(lot_facts(self.program.access, row), width, lines) if row else "")

    def legend(self, width: int) -> str:
        """The marks."""
        return legend.short(width)

    def pane(self, width: int, height: int) -> Sequence[Paint]:
        """The Ticket of the highlighted lot."""
        from watchlist.screens.ticket_text import ticket_lines  # it asks the market: the first text does without

        row = self.current()
        plot: Plot = "curve" if self.shape == "rich" else "chart"
        return ticket_lines(self.program.access.desk, row, width, plot) if row else ()

    def redraw_row(self) -> None:
        """The sentence at once, the pane when the highlight rests."""
        if self.shape in ("wide", "rich"):
            self.set_timer(PANE_DELAY, self._redraw_later)
        else:
            super().redraw_row()

    def _redraw_later(self) -> None:
        if self.stands:
            super().redraw_row()

    def _moved(self) -> None:
        self.redraw_row()

    def minute_passed(self) -> None:
        """Times left have changed."""
        self.rows.refresh_changed()
        self.redraw()

    # --- following what happens to lots ---

    def stand_on(self, key: str) -> None:
        """Highlight this lot, where it belongs here."""
        line, roll = self._store.listing.line(key), self.lots.roll
        if line is None or roll is None:
            return
        at = roll.find(lambda each: each.key == key)
        if at is not None:
            self.rows.go(at)
        elif roll.admits(line):
            self.show(line.place)
            self.redraw_row()

    def turned_back(self, keys: Sequence[str]) -> None:
        """The list is read anew once, where the lot stands."""
        line, roll = self._store.listing.line(keys[0]) if keys else None, self.lots.roll
        if line is None or roll is None or not self.is_current or not roll.admits(line):
            super().turned_back(keys)
            return
        self.program.access.forget()
        self._row = None
        self.show(line.place)
        self.loaded = self.program.changes.shown_already()
        self.redraw()
        self.count()

    def step_from(self, key: str, by: int) -> LotRow | None:
        """The lot before or behind one, for the Ticket over it; where that one is gone, the next stands there now."""
        self.reload_if_stale()
        row = self.current()
        if row is not None and row.lot.key == key:
            self.rows.step(by)
        return self.current()

    def decided(self, keys: Sequence[str], *, all: bool = False) -> None:
        """What is in sight follows a decision; the rest of the list stays as it is."""
        roll = self.lots.roll
        self.ticks.drop(keys)
        if all or roll is None or not self.is_current:
            super().decided(keys, all=all)
            return
        moved = roll.follow({key: line for key in keys if (line := self._store.listing.line(key))})
        self._row = None
        above = sum(each.gone and each.at < self.rows.at for each in moved)
        self.rows.stand(self.rows.at - above, self.rows.top - above)
        self.loaded = self.program.changes.shown_already()
        self.counting.decided(moved, roll)
        self.redraw()

    def put_off(self, keys: Sequence[str]) -> None:
        """The rows show what waits for them; the next decision is for another lot."""
        self.ticks.drop(keys)
        self._show_ticks()

    # --- ticks ---

    def _show_ticks(self) -> None:
        self.rows.refresh_changed()
        self.redraw()

    def _tick(self) -> None:
        """Tick the row and go on."""
        line = self.line
        if line is not None:
            self.ticks.turn(line)
            self.rows.refresh_row(self.rows.at)
            self.rows.step(1)
            self.redraw_head()

    def _tick_all(self) -> None:
        """Tick every lot of the list; when all are ticked, none."""
        lines, more = self.lots.first_lines()
        self.ticks.turn_all(lines)
        self._show_ticks()
        if self.ticks and more:
            self.program.messages.say(f"{len(self.ticks):,} lots ticked; there are more.")

    # --- sift and order ---

    def _ask_sift(self) -> None:
        """Sift as one types; Esc goes back to what was."""
        before = self.lots.text

        def left() -> None:
            self.wrong = ""
            self.sift(before)

        self.dialogue.ask("Sift:", self._sift_done, value=before, live=self.sift, left=left, check=sift.parse)

    def sift(self, text: str) -> None:
        """Show what matches; a wrong word is named and the list stays as it was."""
        try:
            changed, self.wrong = self.lots.sift(text), ""
        except SiftError as error:
            changed, self.wrong = False, str(error)
        if changed:
            self.rows.top = self.rows.at = 0
            self.counting.sifted()
            self.show()
            self.count()
        self.redraw()

    def _only(self, word: str) -> None:
        """Only lots of this word; where the list is that already, all again."""
        self._sift_done("" if self.lots.text == word else word)

    def _sift_done(self, text: str) -> None:
        self.sift(text)
        self.lots.keep_sift()

    def go_back(self) -> None:
        """Clear the ticks, then the sift."""
        if self.ticks:
            self.ticks.clear()
            self._show_ticks()
        elif self.lots.text:
            self.sift("")
            self.lots.keep_sift()

    def _match(self, way: int) -> None:
        self.rows.go(self.lots.match(self.rows.at, way))

    def _reordered(self, said: str) -> None:
        self.from_first()
        self.redraw()
        self.program.messages.say(said)

    def _open(self) -> None:
        """The Ticket, over the list where it does not stand beside it."""
        row = self.current()
        if row is not None:
            self.program.windows.open("ticket", row.lot.key, self.step_from)
