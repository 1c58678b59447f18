"""Which bids go on a sheet for one sale, or stand in the plan of one day."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import date, datetime, tzinfo

from watchlist.core.decisions.bids import BidRow, moment
from watchlist.core.times.zones import source_zone
from watchlist.desk.desk import Desk
from watchlist.desk.errors import DeskError
from watchlist.desk.in_hand.bidding import sale_currency
from watchlist.desk.in_hand.dates import bids_by
from watchlist.desk.in_hand.hands import sale_day, sale_of
from watchlist.desk.naming import piece_of
from watchlist.desk.plan.season import groups
from watchlist.page import sheets
from watchlist.page.bids import BidLine
from watchlist.page.sheets import SheetBid
from watchlist.shelf.store.rows import LotRow

STAND = frozenset({"planned", "placed", "acknowledged"})
"""Stages of bids that go on a sheet: a new one takes the place of the one before."""


def sheet(desk: Desk, lines: Iterable[BidLine]) -> list[str]:
    """The sheet of these bids, without those that wait for a loss. Raises DeskError unless they are of one sale."""
    found: dict[tuple[str, str], list[LotRow]] = {}
    bids = {line.row.lot: line.row for line in lines if line.stage in STAND}
    for lot in _lots(desk, bids):
        found.setdefault(sale_of(desk, lot.lot), []).append(lot)
    if not found:
        raise DeskError("No bid to come goes on a sheet. Nothing was written; `watchlist bids` lists what stands.")
    if len(found) > 1:
        sales = "; ".join(f"{venue or 'no venue'} {day or 'without a day'}" for venue, day in found)
        raise DeskError(f"A sheet is for one sale, and these are several: {sales}. Name one by --venue and --day.")
    ((venue, _), lots) = next(iter(found.items()))
    zone, first, day = _zone(desk, venue), lots[0].lot.closes, sale_day(desk, lots[0].lot)
    by = (first - bids_by(desk, venue)).astimezone(zone) if first else None
    either = _either(desk, lots)
    made = [replace(_sheet_bid(desk, lot, bids[lot.lot.key]), note=either.get(lot.lot.key, "")) for lot in lots]
    return sheets.sheet((venue, lots[0].lot.sale), day, by, made, sale_currency(desk, lots[0]), desk.now)


def day_plan(desk: Desk, day: date, rows: Sequence[BidRow], width: int) -> list[str]:
    """The bids of one day, in the order of their hours."""
    bids = {row.lot: row for row in rows}
    made = [_sheet_bid(desk, lot, bids[lot.lot.key]) for lot in _lots(desk, bids)]
    return sheets.day_plan(day, made, desk.settings.home.zone, width)


def chosen(desk: Desk, lines: Iterable[BidLine], venue: str, day: date | None) -> list[BidLine]:
    """The bids of a venue, and those that close on a day, by the person's own clock."""
    zone = desk.settings.home.zone
    kept = [line for line in lines if not venue or line.row.venue == venue]
    return [line for line in kept if day is None or _on_day(line.row.closes, day, zone)]


def _on_day(closes: datetime | None, day: date, zone: tzinfo) -> bool:
    return closes is not None and closes.astimezone(zone).date() == day


def _either(desk: Desk, lots: Sequence[LotRow]) -> dict[str, str]:
    """`or 230, not both`, by key, for lots of an either-or group with another of it on the same sheet."""
    numbers = {lot.lot.key: lot.lot.id for lot in lots}
    found: dict[str, str] = {}
    for group in groups(desk):
        here = {key: numbers[key] for key in group.lots if key in numbers}
        if len(here) > group.need:
            most = "not both" if len(here) == 2 else f"at most {group.need} of them"
            found |= {key: f"or {_others(here, key)}, {most}" for key in here}
    return found


def _others(numbers: Mapping[str, str], key: str) -> str:
    return ", ".join(number for each, number in numbers.items() if each != key)


def _lots(desk: Desk, keys: Iterable[str]) -> Iterator[LotRow]:
    """The lots of bids, closing soonest first."""
    rows = desk.shelf.store.lots.by_key(keys).values()
    return iter(sorted(rows, key=lambda row: (moment(row.lot.closes), row.lot.id)))


def _zone(desk: Desk, venue: str) -> tzinfo:
    """The venue's own clock; the person's where its terms do not say."""
    terms = desk.terms.get(venue)
    found = source_zone(terms.time_zone) if terms else None
    return found.tz if found else desk.settings.home.zone


def _sheet_bid(desk: Desk, row: LotRow, bid: BidRow) -> SheetBid:
    lot = row.lot
    return SheetBid(lot.id, piece_of(desk.catalogue, row), lot.venue, bid.bid, lot.closes, bid.stage)
