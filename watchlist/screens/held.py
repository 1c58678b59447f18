"""Held: the pieces one has, with what they cost and what they are worth today."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from functools import partial

from watchlist.core.held.piece import Piece
from watchlist.core.held.series import Complete
from watchlist.desk.desk import Desk
from watchlist.desk.held import outcomes, pieces
from watchlist.desk.held.held import beside, cost_lines, held, sums
from watchlist.desk.held.series import complete
from watchlist.desk.recording import Decided
from watchlist.page.columns import wrap
from watchlist.page.held import cells, told, whole, worth
from watchlist.page.lists import Column, Fitted, fit
from watchlist.page.series import head as series_head
from watchlist.page.series import lines as series_lines
from watchlist.screens.looks import Paint, ink
from watchlist.screens.parts.benching import open_bench
from watchlist.screens.parts.cells import Cells
from watchlist.screens.parts.dispatch import Doing, Has
from watchlist.screens.parts.saying import Say
from watchlist.screens.table_screen import TableScreen
from watchlist.shelf.store.rows import LotRow

COLUMNS = (
    Column("no", 5),
    Column("coin", 20),
    Column("bought", 10, rank=4),
    Column("cost", 6, right=True),
    Column("today", 6, right=True, rank=1),
    Column("gain", 5, right=True, rank=2),
    Column("state", 5, rank=3),
)
COIN = 1
CAUTION = "Values are estimates from past sales, not an appraisal; for taxes ask a licensed adviser."


@dataclass(frozen=True, slots=True)
class Fact:
    """One thing that is asked of an event."""

    name: str
    """The field of `pieces.Said` that it goes into."""
    label: str
    value: str = ""
    """What stands in the line at first."""
    money: bool = False
    """A sum in home currency."""
    needed: bool = False


ASKED: Mapping[str, Sequence[Fact]] = {
    "returned": (Fact("reason", "returned, why", "not as described"), Fact("postage", "return postage", money=True)),
    "disputed": (Fact("reason", "disputed, why"),),
    "refunded": (Fact("amount", "refunded", money=True, needed=True),),
    "to-service": (Fact("fees", "sent to a service, fee", money=True),),
    "from-service": (
        Fact("grade", "back, grade"),
        Fact("service", "certified by"),
        Fact("cert", "certificate number"),
        Fact("fees", "fee", money=True),
    ),
    "consigned": (Fact("reserve", "consigned, reserve", money=True),),
    "not-sold": (Fact("fees", "not sold, fee", money=True),),
    "sold": (Fact("amount", "sold for", money=True, needed=True), Fact("fees", "fees of the sale", money=True)),
}
"""What is asked of each event, one line after another."""


class HeldRows:
    """Pieces in rows; those that went back or were sold are quiet."""

    none = "No piece is held. Press 3, then w on a bid, to record a win."

    def __init__(self, desk: Callable[[], Desk]) -> None:
        self._desk = desk
        self._cells = Cells(_fit, COLUMNS)
        self.costs: Mapping[str, Mapping[str, Decimal]] = {}
        """By lot: what its share of the cost holds, line by line."""

    def items(self) -> Sequence[Piece]:
        """All of them, those still held first."""
        desk = self._desk()
        found = sorted(held(desk), key=lambda each: each.course.gone)
        self.costs = cost_lines(desk, found)
        self._cells.put({each.key: cells(each) for each in found})
        return found

    def text_of(self, item: Piece) -> str:
        """What a sift looks in."""
        return f"{item.stock_no} {item.coin} {item.won.lot.venue} {item.state}"

    def head(self, width: int) -> str:
        """The columns."""
        return self._cells.head(width)

    def row(self, item: Piece, width: int) -> Paint:
        """One piece."""
        return [("quiet" if item.course.gone else "ink", self._cells.row(item.key, width))]


def _fit(columns: Sequence[Column], width: int) -> Fitted:
    return fit(columns, width, flexible=COIN, least=min(columns[COIN].wide, 34))


class HeldScreen(TableScreen[HeldRows, Piece]):
    """The pieces held."""

    ID = "held"
    TITLE = "Held"
    ROWS = HeldRows

    def doing(self) -> Doing:
        """What is said of a piece."""
        on = self.table.on_item
        return {
            "copy": on(lambda each: self.program.outside.copy(f"{each.stock_no}: {told(each)}")),
            "open": on(lambda each: self.program.windows.open("ticket", each.key, self.step_from)),
            "bench": on(lambda each: open_bench(self.program, each.key)),
            "outcome": on(self._outcome),
            "series": on(self._series),
            "checked": on(lambda each: self._say(each, "checked")),
            "kept": on(lambda each: self._say(each, "kept")),
            "noted": on(lambda each: self._told_of(each, "noted", "note", each.course.note)),
            "pictured": on(lambda each: self._told_of(each, "pictured", "path of a picture")),
            "came-from": on(lambda each: self._told_of(each, "came-from", "it was in")),
            "stored-in": on(lambda each: self._told_of(each, "stored-in", "it is stored in", each.course.place)),
            "settled": on(lambda each: self._say(each, "settled")),
            **{act: on(partial(self._ask, act, asked)) for act, asked in ASKED.items()},
        }

    def has(self) -> Has:
        """A piece."""
        return {"row": lambda: self.table.item}

    def head(self) -> Paint:
        """How many, what they cost and are worth."""
        here = [each for each in self.table.all if not each.course.gone]
        cost, value = sums(here, self._home)
        parts = (f"{len(here)} held", f"cost {cost}", f"worth {value} today") if here else ()
        return self.table.title(self.TITLE, parts, self.app.size.width)

    def why(self, width: int, lines: int) -> str:
        """The piece in words, the caution."""
        each = self.table.item
        return f"{each.stock_no}: {told(each)}. {worth(each, self._home)}{CAUTION}" if each else ""

    def pane(self, width: int, height: int) -> Sequence[Paint]:
        """The piece in full."""
        each, desk, every = self.table.item, self.program.access.desk, self.table.all
        if each is None:
            return ()
        text = whole(each, beside(each, every, self.rows.costs), desk.home, width)
        return ink([*text, "", *wrap(CAUTION, width)])

    def step_from(self, key: str, by: int) -> LotRow | None:
        """The lot of the piece before or behind this one, for the Ticket over it."""
        self.table.listing.step(by)
        return self.program.access.shelf.store.lots.get(self.table.item.key) if self.table.item else None

    @property
    def _home(self) -> str:
        return self.program.access.desk.home

    def _series(self, each: Piece) -> None:
        desk = self.program.access.desk
        issue = desk.catalogue.by_key.get(each.issue)
        if issue is None:
            self.program.messages.say(f"{each.stock_no} is of no issue of your catalogue, so of no series.")
            return
        words, reading = f"{issue.country} {issue.denomination} {issue.type}".strip(), f"Series of {each.stock_no}"

        def show(found: Complete) -> None:
            self.program.windows.open("detail", series_head(found), lambda width: ink(series_lines(found, width)))

        self.program.work.look_up(reading, lambda desk: complete(desk, words), show)

    def _ask(self, act: str, asked: Sequence[Fact], each: Piece, told: Mapping[str, str] | None = None) -> None:
        """Ask for one fact after another, then write; Esc at any of them leaves all."""
        if not asked:
            self._saying.write(f"{each.stock_no} {act}", _event(each.key, pieces.Said(act, **(told or {}))))
            return
        fact, *rest = asked

        def done(text: str) -> None:
            if text or not fact.needed:
                self.call_later(self._ask, act, rest, each, {**(told or {}), fact.name: text})
            else:
                self.program.messages.say("Nothing typed, nothing written.")

        label = f"{each.stock_no} {fact.label}{f', {self._home}' if fact.money else ''}"
        self.dialogue.ask(f"{label}{'' if fact.needed else ' (or nothing)'}:", done, value=fact.value)

    def _told_of(self, each: Piece, act: str, what: str, value: str = "") -> None:
        say = lambda text: _event(each.key, pieces.Said(act, text))  # noqa: E731 - one use
        self._saying.ask(f"{each.stock_no}, {what}:", f"{each.stock_no} {act}", say, value=value)

    def _outcome(self, each: Piece) -> None:
        known = ", ".join((*outcomes.WORDS, "or its true grade"))

        def said(word: str) -> None:
            self.program.writer.write("The outcome", lambda desk: outcomes.say(desk, each.key, *word.split()[:2]), done)

        def done(words: str) -> None:
            self.program.changes.happened()
            self.program.messages.say_undoable(words)
            self.program.follow_ups.bands(outcomes.DUE)

        self.dialogue.ask(f"{each.stock_no} proved to be ({known}):", said, value="genuine")

    def _say(self, each: Piece, act: str) -> None:
        self._saying.write(f"{each.stock_no} {act}", _event(each.key, pieces.Said(act)))


def _event(key: str, said: pieces.Said) -> Say:
    return partial(_written, key, said)


def _written(key: str, said: pieces.Said, desk: Desk, anyway: bool) -> Decided:
    return pieces.say(desk, key, said, anyway=anyway)
