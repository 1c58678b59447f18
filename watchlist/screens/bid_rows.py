"""The bid list in rows: when it closes at home, venue, lot, coin, bid, cost, what is left, how far it is."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from decimal import Decimal

from watchlist.core.decisions.plan import BidList, BidRow
from watchlist.core.marks.reasons import figure
from watchlist.core.money.amount import Money
from watchlist.core.times.zones import source_zone
from watchlist.desk import bidding
from watchlist.desk.desk import Desk
from watchlist.desk.parcels import ParcelLot, ParcelShown, parcels
from watchlist.desk.season import groups
from watchlist.page import piece, plots
from watchlist.page.lists import Column, Fitted, fit, measured
from watchlist.page.rows import short_grades
from watchlist.screens.looks import Paint
from watchlist.shelf.store.rows import LotRow

COLUMNS = (
    Column("closes", 9),
    Column("there", 5, rank=12),
    Column("venue", 10, rank=2),
    Column("sale", 8, rank=14),
    Column("lot", 3),
    Column("coin", 20),
    Column("", 0, rank=1),
    Column("now", 6, right=True, rank=11),
    Column("bid", 6, right=True),
    Column("limit", 6, right=True, rank=9),
    Column("cost", 5, right=True, rank=1),
    Column("shared", 6, right=True, rank=13),
    Column("alone", 6, right=True, rank=10),
    Column("chance", 6, right=True, rank=8),
    Column("left", 5, right=True, rank=4),
    Column("stage", 8, rank=3),
)
_AT = {column.name: at for at, column in enumerate(COLUMNS)}
LOT, COIN, COST, STAGE = (_AT[name] for name in ("lot", "coin", "cost", "stage"))
MOST_COIN = 34
"""Cells that a coin has before other columns have theirs: it is not cut."""
SHORT = 5
"""Letters of a first word that does not name a venue by itself."""
STAGES = {"planned": "to place", "": "to place"}
"""Stages that the list calls something else."""
SHARED = "+"
"""Behind a cost that counts on another lot of its parcel."""


class BidRows:
    """The bid list in rows; before the bids to come those that have ended and wait for a word."""

    none = "No bids yet. 1, then b on a lot, plans one; 6 plans the best set."

    def __init__(self, desk: Callable[[], Desk]) -> None:
        self._desk = desk
        self.list: BidList | None = None
        self._lots: dict[str, LotRow | None] = {}
        self._cells: dict[str, tuple[str, ...]] = {}
        self._columns: Sequence[Column] = COLUMNS
        self.shares = False
        """Some cost counts on another lot of its parcel."""

    def items(self) -> Sequence[BidRow]:
        """All bids: the ended ones first, then closing soonest first."""
        desk = self._desk()
        self._lots.clear()
        self._cells.clear()
        self.list = bidding.bids(desk)
        found = (*self.list.ended, *self.list.rows)
        sent = _in_parcels(parcels(desk)) if found else {}
        either = {lot: group.id for group in groups(desk) for lot in group.lots} if found else {}
        day = ""
        for item in found:
            when = self._closes(desk, item)
            same = bool(day) and when.startswith(day)
            day = when[:3] if item.closes else ""
            shown = f"    {when[4:]}" if same and not item.ended else when
            self._cells[item.lot] = self._row(desk, item, shown, sent.get(item.lot), either.get(item.lot, ""))
        self.shares = any(cells[COST].endswith(SHARED) for cells in self._cells.values())
        self._columns = measured(COLUMNS, [self._cells[item.lot] for item in found])
        return found

    def text_of(self, item: BidRow) -> str:
        """What a sift looks in."""
        return f"{item.title} {' '.join(self._cells[item.lot])} {item.venue}{' ended' if item.ended else ''}"

    def lot(self, key: str) -> LotRow | None:
        """The lot of a bid; kept until the list is read anew."""
        if key not in self._lots:
            self._lots[key] = self._desk().shelf.store.lots.get(key)
        return self._lots[key]

    def _fitted(self, width: int) -> Fitted:
        least = min(self._columns[COIN].wide, MOST_COIN)
        return fit(self._columns, width, flexible=COIN, least=least, gap=2 if width >= 100 else 1)

    def head(self, width: int) -> str:
        """The columns."""
        return self._fitted(width).head()

    def row(self, item: BidRow, width: int) -> Paint:
        """One bid."""
        role = "ink!" if item.warnings or item.ended else "ink"
        return [(role, self._fitted(width).row(self._cells[item.lot]))]

    def told(self, item: BidRow) -> str:
        """A bid in words, also what a narrow list has no room for: `LM-102, 1 tor 1899-M, AU-53: to place.`"""
        cells = self._cells.get(item.lot)
        return f"{item.venue}, {cells[LOT]}, {cells[COIN]}: {cells[STAGE]}." if cells else ""

    # --- cells ---

    def _closes(self, desk: Desk, item: BidRow) -> str:
        """Day and clock time at home: `Tue 14:02`; further on than a week its date."""
        if item.closes is None:
            return "fixed" if not item.ended else "ended"
        here = item.closes.astimezone(desk.settings.home.zone)
        if item.ended:
            return f"{here:%a} ended"
        far = (here.date() - desk.local_today()).days > 6
        return f"{here.day:>2} {here:%b} {here:%H:%M}" if far else f"{here:%a %H:%M}"

    def _row(
        self, desk: Desk, item: BidRow, closes: str, sent: tuple[ParcelShown, ParcelLot] | None, group: str
    ) -> tuple[str, ...]:
        lot = self.lot(item.lot)
        judged = lot.judgement if lot else None
        parcel, inside = sent or (None, None)
        shares = inside is not None and parcel is not None and not parcel.assumed and parcel.lots[0] is not inside
        cost = inside.shared if shares and inside else item.worst
        chance = judged.chance_worth_it if judged else None
        return (
            closes,
            _there(desk, item),
            short_venue(item.venue),
            lot.lot.sale if lot else "",
            lot.lot.id if lot else "",
            self._coin(desk, item, lot),
            group,
            _money(lot.lot.price if lot else None, desk.home),
            _money(item.bid, desk.home) or "-",
            _money(item.limit, desk.home),
            (_figure(cost) or "-") + (SHARED if shares else ""),
            _figure(inside.shared if inside else None),
            _figure(inside.alone if inside else None),
            f"{chance:.0%}" if chance is not None else "",
            _figure(item.left),
            "result?" if item.ended else STAGES.get(item.stage, item.stage),
        )

    def _coin(self, desk: Desk, item: BidRow, lot: LotRow | None) -> str:
        judged = lot.judgement if lot else None
        issue = desk.catalogue.by_key.get(judged.issue) if judged and judged.issue else None
        grade = short_grades(judged.grade_low, judged.grade_high) if judged and issue else "-"
        named = piece.coin(issue, item.title)
        return named if grade == "-" else f"{named}, {grade}"

    def days(self) -> list[plots.SaleDay]:
        """What is committed by each sale day, and what was won already."""
        zone = self._desk().settings.home.zone
        found: dict[str, list[Decimal]] = {}
        if self.list and self.list.spent and self.list.won:
            found["won"] = [self.list.spent.amount]
        for row in self.list.rows if self.list else ():
            if row.binding and row.worst is not None:
                day = row.closes.astimezone(zone).date().isoformat() if row.closes else "any day"
                found.setdefault(day, []).append(row.worst.amount)
        return [plots.SaleDay(day, len(costs), sum(costs, Decimal(0))) for day, costs in found.items()]


def _in_parcels(found: Sequence[ParcelShown]) -> Mapping[str, tuple[ParcelShown, ParcelLot]]:
    return {lot.key: (parcel, lot) for parcel in found for lot in parcel.lots}


def _there(desk: Desk, item: BidRow) -> str:
    """The hour by the venue's own clock, where its terms say its zone."""
    terms = desk.terms.get(item.venue)
    zone = source_zone(terms.time_zone) if terms else None
    return f"{item.closes.astimezone(zone.tz):%H:%M}" if item.closes and zone else ""


def _money(amount: Money | None, home: str) -> str:
    """An amount; its currency stands there where it is not one's own."""
    if amount is None:
        return ""
    return str(amount).removesuffix(f" {home}")


def short_venue(name: str) -> str:
    """A venue by its first word, or by two where that is short: `Lindmoor`, `Brannental`."""
    first, *rest = name.split() or [""]
    return f"{first} {rest[0]}" if rest and len(first) < SHORT else first


def _figure(amount: Money | None) -> str:
    return figure(amount.amount) if amount else ""
