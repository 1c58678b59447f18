"""Parcels: which lots travel together, what each parcel costs, what is owed, and what comes next."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import date
from functools import partial

from watchlist.core.held.deadlines import Deadline, deadlines
from watchlist.core.held.parcel import ParcelShown
from watchlist.core.marks.reasons import figure
from watchlist.desk.desk import Desk
from watchlist.desk.held import arrivals
from watchlist.desk.held.parcels import join, parcels, part
from watchlist.desk.recording import Decided
from watchlist.page.bids import ROOMY, short_venue
from watchlist.page.columns import cells, wrap
from watchlist.page.dates import day_words
from watchlist.page.deadlines import in_short, last_day
from watchlist.page.lists import Column, Fitted, fit
from watchlist.page.lot import cost_word
from watchlist.page.parcels import since
from watchlist.page.wording import count, money
from watchlist.screens.looks import Paint, ink
from watchlist.screens.parts.cells import Cells
from watchlist.screens.parts.dispatch import Doing, Has
from watchlist.screens.parts.saying import Say
from watchlist.screens.table_screen import TableOverPane

COLUMNS = (
    Column("no", 3),
    Column("venue", 12),
    Column("sale", 10, rank=5),
    Column("lots", 4, right=True, rank=4),
    Column("coins", 12, rank=9),
    Column("cost", 6, right=True),
    Column("owed", 6, right=True, rank=1),
    Column("state", 8, rank=3),
    Column("next", 4, rank=2),
)
VENUE, SALE, COINS, NEXT = 1, 2, 4, 8
WIDEST = 60
"""Cells of the coins of a parcel, where the window has room for them."""
Move = Callable[[Desk, str, str], str]
"""Puts a lot, named last, into a parcel or out of it, and says so."""


class ParcelRows:
    """Parcels in rows."""

    none = "No parcels yet: a bid or a win makes one. Press 1, then b on a lot, to plan a bid."

    def __init__(self, desk: Callable[[], Desk]) -> None:
        self._desk = desk
        self._cells = Cells(_fitted, COLUMNS)

    def items(self) -> Sequence[ParcelShown]:
        """All of them, soonest first."""
        desk = self._desk()
        found = parcels(desk)
        self._cells.put({each.id: _cells(desk, each) for each in found})
        return found

    def text_of(self, item: ParcelShown) -> str:
        """What a sift looks in."""
        return f"{item.id} {item.venue} {item.sale} {item.state} {' '.join(lot.title for lot in item.lots)}"

    def head(self, width: int) -> str:
        """The columns."""
        return self._cells.head(width)

    def lines(self, item: ParcelShown, width: int) -> Sequence[Paint]:
        """One parcel, its venue, sale and last day never cut; one with nothing left to do is quiet."""
        role = "ink!" if item.course and item.course.owed else "quiet" if item.done else "ink"
        return [[(role, line)] for line in self._cells.wrapped(item.id, width, (VENUE, SALE, COINS, NEXT))]


def _cells(desk: Desk, each: ParcelShown) -> tuple[str, ...]:
    cost = figure(each.cost.amount) if each.cost else "-"
    owed = money(each.course.owed) if each.course and each.course.owed else ""
    venue, coins, following = short_venue(each.venue), _coins(each), _next(desk, each, in_short)
    return (each.id, venue, each.sale, str(len(each.lots)), coins, cost, owed, each.state, following)


def _coins(each: ParcelShown) -> str:
    """As many of its coins as have room, each named whole, and how many more there are."""
    titles = [lot.title for lot in each.lots]
    for more in range(len(titles)):
        said = "; ".join([*titles[: len(titles) - more], *([f"{more} more"] if more else [])])
        if cells(said) <= WIDEST:
            return said
    return titles[0] if len(titles) == 1 else count(len(titles), "lot")


def _fitted(columns: Sequence[Column], width: int) -> Fitted:
    """The measured columns that have room; on a wide window the coins take what is left over, else the venue."""
    if width < ROOMY:
        return fit(columns, width, flexible=VENUE, least=min(columns[VENUE].wide, 12), gap=1)
    return fit(columns, width, flexible=COINS, least=columns[COINS].wide)


def _next(desk: Desk, each: ParcelShown, say: Callable[[Deadline, date], str] = last_day) -> str:
    """What comes next of it, and by when."""
    if each.course is not None:
        for last in deadlines(each.course, desk.terms.get(each.venue), waits=each.waits):
            return say(last, desk.local_today())
        if each.refund:
            return "refund to come"
    if each.closes is None:
        return ""
    here = each.closes.astimezone(desk.settings.home.zone)
    return f"closes {day_words(here.date())} {here:%H:%M}"


class ParcelsScreen(TableOverPane[ParcelRows, ParcelShown]):
    """The parcels."""

    ID = "parcels"
    TITLE = "Parcels"
    ROWS = ParcelRows

    def doing(self) -> Doing:
        """What is said of a parcel."""
        on = self.table.on_item
        return {
            "copy": on(lambda each: self.program.outside.copy(f"{_head(each)}: {_lots(each)}")),
            "open": on(self._open),
            "invoiced": on(lambda each: self._sum(each, "invoiced", f"Invoice of {each.id}, {each.currency}:")),
            "paid": on(self._paid),
            "dispatched": on(lambda each: self._say(each, "dispatched", "")),
            "arrived": on(lambda each: self._say(each, "arrived", "")),
            "refunded": on(lambda each: self._sum(each, "refunded", f"Refunded of {each.id}, {self._home}:")),
            "split": on(self._split),
            "join-lot": on(lambda each: self._moved(each, f"Lot that joins {each.id}:", join)),
            "part-lot": on(lambda each: self._moved(each, f"Lot that leaves {each.id}:", _part)),
        }

    def has(self) -> Has:
        """A parcel."""
        return {"row": lambda: self.table.item}

    def head(self) -> Paint:
        """How many, and what is owed."""
        owed = sum(each.course is not None and each.course.owed is not None for each in self.table.all)
        parts = (f"{len(self.table.shown)} of {len(self.table.all)} parcels", f"{owed} owed" if owed else "")
        return self.table.title(self.TITLE, parts, self.app.size.width)

    def why(self, width: int, lines: int) -> str:
        """The parcel in words."""
        each = self.table.item
        if each is None:
            return ""
        following = _next(self.program.access.desk, each)
        return f"{_head(each)}: {_lots(each)}. {following[:1].upper()}{following[1:]}{'.' if following else ''}"

    def pane(self, width: int, height: int) -> Sequence[Paint]:
        """Its lots, its cost line by line, what is to be done."""
        each = self.table.item
        return ink(_whole(self.program.access.desk, each, width)) if each else ()

    def _open(self, each: ParcelShown) -> None:
        desk = self.program.access.desk
        self.program.windows.open("detail", _head(each), lambda width: ink(_whole(desk, each, width)))

    def _paid(self, each: ParcelShown) -> None:
        owed = each.course.owed if each.course else None
        value = f"{owed.amount:f}" if owed and owed.currency == self._home else ""
        self._sum(each, "paid", f"Paid for {each.id}, {self._home}:", value)

    def _split(self, each: ParcelShown) -> None:
        other = "by-price" if each.course and each.course.split == "by-piece" else "by-piece"
        self._sum(each, "split", f"Cost of {each.id} split (by-price, by-piece):", other)

    def _moved(self, each: ParcelShown, label: str, move: Move) -> None:
        """A lot put into the parcel or taken out of it, whatever the venue's rule."""
        say = lambda lot: lambda desk, _: Decided((), move(desk, each.id, lot))  # noqa: E731 - one use
        self._saying.ask(label, f"{each.id} changed", say)

    @property
    def _home(self) -> str:
        return self.program.access.desk.home

    def _sum(self, each: ParcelShown, act: str, label: str, value: str = "") -> None:
        self._saying.ask(label, f"{each.id} {act}", partial(_event, each.id, act), value=value)

    def _say(self, each: ParcelShown, act: str, value: str) -> None:
        self._saying.write(f"{each.id} {act}", _event(each.id, act, value))


def _event(name: str, act: str, value: str) -> Say:
    return lambda desk, anyway: arrivals.say(desk, name, arrivals.Said(act, value), anyway=anyway)


def _part(desk: Desk, name: str, lot: str) -> str:
    return part(desk, lot, name)


def _head(each: ParcelShown) -> str:
    return ", ".join(filter(None, (f"{each.id} {short_venue(each.venue)}", each.sale, each.state)))


def _lots(each: ParcelShown) -> str:
    return "; ".join(f"{lot.number} {lot.title} {money(lot.price)} {lot.stage}" for lot in each.lots)


def _whole(desk: Desk, each: ParcelShown, width: int) -> list[str]:
    """Everything of a parcel."""
    text = wrap(f"{each.id}  {each.venue}{f', {each.sale}' if each.sale else ''} ({each.state})", width)
    for lot in each.lots:
        three = zip(("alone", "shared", "before postage"), (lot.alone, lot.shared, lot.before), strict=True)
        costs = ", ".join(f"{money(cost)} {name}" for name, cost in three if cost)
        text += wrap(f"  {lot.number}  {lot.title}, {money(lot.price)} {lot.stage}: {costs}", width, indent="    ")
    text += ["", *(f"  {cost_word(name):<38}{money(amount):>14}" for name, amount in each.lines)]
    for line in since(each, desk.terms.get(each.venue), desk.home, desk.local_today()):
        text += wrap(f"  {line}.", width, indent="    ")
    for note in each.notes:
        text += wrap(f"  {note[:1].upper()}{note[1:]}.", width, indent="    ")
    return text
