"""The Tray: lots to look at, closing soonest first, however many there are."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from threading import Event
from typing import ClassVar

from textual.timer import Timer

from watchlist.core.sift import line as sift
from watchlist.core.sift.filter import holds
from watchlist.core.sift.line import Sift, SiftError
from watchlist.desk.roll import Roll
from watchlist.page import rows
from watchlist.screens.counting import Counter, Counts
from watchlist.screens.looks import Paint
from watchlist.screens.ticking import Ticking
from watchlist.shelf.store import Store
from watchlist.shelf.store.filters import Order, Place
from watchlist.shelf.store.rows import LotLine, LotRow

ORDERS: tuple[Order, ...] = ("closing", "title", "all_in", "gap", "mark")
ORDER_WORDS = {"closing": "closing time", "title": "title", "all_in": "cost", "gap": "gap", "mark": "mark"}
WAITS = "~"
"""Before a row whose decision waits to be written."""
COUNT_DELAY = 0.2
"""Seconds after the last letter of a sift, or a change of the shelf, before all is counted."""
RECOUNT_DELAY = 2.0
"""Seconds after the last decision: the counts were put right by the decision itself, so there is no hurry."""
PANE_DELAY = 0.03
"""Seconds a row must be highlighted before the pane beside it is laid out."""


class Tray(Ticking):
    """Lots to look at."""

    ID = "tray"
    TITLE = "Tray"
    WHY: ClassVar[int] = 2

    def __init__(self) -> None:
        super().__init__()
        self.asked = Sift()
        self.text = ""
        self.wrong = ""
        self.order: Order = "closing"
        self.turned = False
        self.roll: Roll | None = None
        self.counts = Counts()
        self._row: LotRow | None = None
        self._before = ""
        self._counter = Counter()
        self._count_due: Timer | None = None
        self._counting = False
        """What the head counts is not right at present: a count is on its way."""

    # --- reading the shelf ---

    def load(self) -> None:
        """The lots of this sift in this order; the highlight stays on its lot, or on the next that is left."""
        first = self.roll is None
        if first:
            self._as_it_was_left()
        line = self.line
        self._row = None
        self.show(line.place if line else None)
        self.count(0.0 if first else COUNT_DELAY)

    def _as_it_was_left(self) -> None:
        kept = self.app.kept
        order = kept.get("order")
        self.order = order if order in ORDERS else "closing"
        self.turned = bool(kept.get("turned"))
        self.text = str(kept.get("sift") or "")
        try:
            self.asked = sift.parse(self.text)
        except SiftError:
            self.text = ""

    @property
    def store(self) -> Store:
        """The store, to read."""
        return self.app.session.shelf.store

    def show(self, place: Place | None = None) -> None:
        """Show the lots from a place on, in the line of the window where the highlight stands."""
        listing = self.listing
        offset = max(listing.at - listing.top, 0)
        start = None if place is None else Place(place.values, place.id + (1 if self.turned else -1))
        self.roll = Roll(self.store, self.asked, self.app.session.now, self.order, down=self.turned, start=start)
        if start is not None:
            self.roll.reach(-offset)
        listing.show_rows(self.roll, 0, offset)

    def list_from_first(self) -> None:
        """From the first lot on."""
        self.listing.top = self.listing.at = 0
        self.show()
        self.redraw_row()

    def count(self, after: float = 0.0) -> None:
        """Count in the background, in so many seconds unless it is asked for again: a million lots take a while."""
        if self._count_due is not None:
            self._count_due.stop()
        app, roll, stopped = self.app, self.roll, self._counter.begin()
        if roll is None:
            return
        self._counting = True

        def work() -> None:
            counts = self._counter.count(app.session, roll, stopped, after)
            if counts is not None:
                app.call_from_thread(self._counted, stopped, counts)

        self.run_worker(work, thread=True, group="count", exit_on_error=False)

    def _count_at_rest(self) -> None:
        """Count when no decision has come for a while: each has put the counts right itself, if they were right."""
        if self._counting:
            self.count(COUNT_DELAY)
            return
        self._counter.begin()
        if self._count_due is not None:
            self._count_due.stop()
        self._count_due = self.set_timer(RECOUNT_DELAY, self.count)

    def _counted(self, stopped: Event, counts: Counts) -> None:
        if not stopped.is_set():
            self.counts, self._counting = counts, False
            self.redraw()

    # --- what is shown ---

    @property
    def line(self) -> LotLine | None:
        """The highlighted line."""
        return self.roll.line(self.listing.at) if self.roll else None

    def current(self) -> LotRow | None:
        """The highlighted lot, whole."""
        line = self.line
        if line is None:
            return None
        if self._row is None or self._row.lot.key != line.key:
            self._row = self.store.lots.get(line.key)
        return self._row

    def head(self) -> Paint:
        """Lots, what is new, bargains, doubts, sources; the sift."""
        if self.wrong and self.shape not in ("normal", "short"):
            return [("ink!", f"{self.TITLE}  "), ("ink", self.wrong)]
        counts, width = self.counts, self.app.size.width
        shown = counts.shown if counts.shown is not None else (self.roll.known if self.roll else None)
        if shown is None and self.roll is not None and self.roll.high - self.roll.low:
            lots = f"{self.roll.high - self.roll.low:,}+"
        else:
            lots = f"{shown or 0:,}"
        parts = [self.TITLE, f"{lots} of {counts.all:,} lots" if counts.all is not None else ""]
        if self.ticked:
            parts.append(f"{len(self.ticked)} ticked")
        if self.text:
            parts.append(f"sifted: {self.text}")
        marks = counts.marks
        parts += [
            f"{counts.new:,} new" if counts.new else "",
            _plural(marks.get("bargain", 0), "bargain"),
            _plural(marks.get("doubt", 0), "doubt"),
        ]
        if counts.sources:
            late = f" {counts.late} late" if counts.late else ""
            parts.append(f"sources {counts.ok} ok{late}")
        if self.order != "closing" or self.turned:
            parts.append(f"by {ORDER_WORDS[self.order]}{', turned' if self.turned else ''}")
        return [("ink!", rows.head_line(parts, width))]

    def list_head(self, width: int) -> str:
        """The columns."""
        return rows.head(rows.columns_for(width), self.order, self.turned) if self.shape != "short" else ""

    def list_row(self, at: int, width: int) -> Paint:
        """One lot."""
        line = self.roll.line(at) if self.roll else None
        if line is None:
            return [("ink", "")]
        sign = "+" if line.key in self.ticked else " "
        if (state := self.app.pending(line.key)) is not None:
            line, sign = replace(line, state=state), WAITS
        return rows.row(line, rows.columns_for(width), self.app.session.now, sign=sign)

    def list_empty(self) -> str:
        """What to press."""
        if self.text:
            return f"Nothing matches `{self.text}`. {self.app.keys.first('back')} clears it."
        session = self.app.session
        if not session.shelf.notebook.sources.list():
            first = "" if session.shelf.notebook.wants.list() else "No wants yet. 2, then a, adds one. "
            return f"{first}No sources yet. 5, then a. Try the samples: `watchlist try`."
        if not self.store.listing.count():
            return f"No lots yet. {self.app.keys.first('gather')} reads the sources."
        return "Nothing is left to look at. / state:x shows what was skipped."

    def why(self) -> str:
        """The sentence on the highlighted lot."""
        return self.why_in(0, 0)

    def why_in(self, width: int, lines: int) -> str:
        """The sentence in so many lines: it says less where there is less room."""
        from watchlist.page.ticket import sentence
        from watchlist.screens.ticket import plain_facts

        if self.wrong:
            return self.wrong
        row = self.current()
        return sentence(plain_facts(self.app.session, row), width, lines) if row else ""

    def redraw_row(self) -> None:
        """The sentence at once, the pane when the highlight rests."""
        if self.shape in ("wide", "rich"):
            self.set_timer(PANE_DELAY, self._pane_later)
        else:
            super().redraw_row()

    def _pane_later(self) -> None:
        if self.stands:
            super().redraw_row()

    def pane(self, width: int, height: int) -> Sequence[Paint]:
        """The Ticket of the highlighted lot."""
        row = self.current()
        if row is None:
            return ()
        from watchlist.screens.ticket import lines_of

        return lines_of(self.app, row, width, "curve" if self.shape == "rich" else "chart")

    def can(self, id: str) -> bool:
        """Esc only where it has something to do."""
        if id == "back":
            return bool(self.text or self.ticked or self.app.busy)
        return super().can(id)

    def minute_passed(self) -> None:
        """Times left have changed."""
        self.listing.refresh_changed()
        self.redraw()

    def stand_on(self, key: str) -> None:
        """Highlight this lot, where it belongs here."""
        line, roll = self.store.listing.line(key), self.roll
        if line is None or roll is None:
            return
        at = roll.find(lambda each: each.key == key)
        if at is not None:
            self.listing.go(at)
        elif roll.admits(line):
            self.show(line.place)
            self.redraw_row()

    def turned_back(self, keys: Sequence[str]) -> None:
        """The list is read anew once, where the lot stands."""
        line = self.store.listing.line(keys[0]) if keys else None
        if line is None or self.roll is None or not self.is_current or not self.roll.admits(line):
            super().turned_back(keys)
            return
        self.app.session.forget()
        self._row = None
        self.show(line.place)
        self.app.patched(self)
        self.redraw()
        self.count(COUNT_DELAY)

    def decided(self, keys: Sequence[str]) -> None:
        """What is in sight follows a decision; the rest of the list stays as it is."""
        roll = self.roll
        if roll is None or not self.is_current:
            super().decided(keys)
            return
        self._untick(keys)
        moved = roll.follow({key: line for key in keys if (line := self.store.listing.line(key))})
        self.counts = self.counts.after(moved)
        self._row = None
        listing = self.listing
        above = sum(each.gone and each.at < listing.at for each in moved)
        listing.stand(listing.at - above, listing.top - above)
        self.app.patched(self)
        self.redraw()
        self._count_at_rest()

    # --- sift and order ---

    def do_sift(self) -> None:
        """Sift as one types."""
        self._before = self.text
        self.ask("Sift:", self._sift_done, value=self.text, live=self.sift, left=self._sift_left, check=sift.parse)

    def sift(self, text: str) -> None:
        """Show what matches; a wrong word is named and the list stays as it was."""
        try:
            asked = sift.parse(text)
        except SiftError as error:
            self.wrong = str(error)
            self.redraw()
            return
        self.wrong = ""
        changed = asked != self.asked
        self.text, self.asked = text.strip(), asked
        if changed:
            self.listing.top = self.listing.at = 0
            self.counts = replace(self.counts, shown=None)
            self.show()
            self.count(COUNT_DELAY)
        self.redraw()

    def _sift_done(self, text: str) -> None:
        self.sift(text)
        if self.wrong:
            self.app.say(self.wrong, trouble=True)
            self.wrong = ""
            self.text = str(self.asked)
        self.app.keep(sift=self.text)
        self.redraw()

    def _sift_left(self) -> None:
        self.wrong = ""
        self.sift(self._before)

    def do_back(self) -> None:
        """Stop a gather; else clear the ticks, then the sift."""
        if self.app.stop_work():
            return
        if self.ticked:
            self.ticked.clear()
            self.listing.refresh_changed()
            self.redraw()
        elif self.text:
            self.sift("")
            self.app.keep(sift="")

    def do_next_match(self) -> None:
        """Next lot with the words last sifted for."""
        self._match(1)

    def do_last_match(self) -> None:
        """The lot before."""
        self._match(-1)

    def _match(self, way: int) -> None:
        words = self.asked.words or tuple(str(self.app.kept.get("words") or "").split())
        if not words:
            self.app.say("Sift for words first: / and a word.")
            return
        self.app.keep(words=" ".join(words))
        at = self.listing.at + way
        while self.roll is not None and self.roll.reach(at) and (line := self.roll.line(at)) is not None:
            if all(holds(word, line.title) for word in words):
                self.listing.go(at)
                return
            at += way
        self.app.say(f"No further lot with `{' '.join(words)}`.")

    def do_sort(self) -> None:
        """Order by the next column."""
        self.order = ORDERS[(ORDERS.index(self.order) + 1) % len(ORDERS)]
        self._reorder()

    def do_turn(self) -> None:
        """Turn the order round."""
        self.turned = not self.turned
        self._reorder()

    def _reorder(self) -> None:
        self.app.keep(order=self.order, turned=self.turned)
        self.list_from_first()
        self.redraw()
        self.app.say(f"Ordered by {ORDER_WORDS[self.order]}{', turned round' if self.turned else ''}.")

    # --- deciding ---

    def from_first(self) -> Roll:
        """The lots of this sift in this order, from the first on."""
        return Roll(self.store, self.asked, self.app.session.now, self.order, down=self.turned)

    def do_open(self) -> None:
        """The Ticket, over the list where it does not stand beside it."""
        if self.current() is not None:
            from watchlist.screens.ticket import Ticket

            self.app.push_screen(Ticket(self))

    def do_add(self) -> None:
        """A lot by hand."""
        from watchlist.screens.forms.lot import LotForm

        self.app.push_screen(LotForm())


def _plural(number: int, word: str) -> str:
    return f"{number:,} {word}{'s' if number != 1 else ''}" if number else ""
