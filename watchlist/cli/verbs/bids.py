"""watchlist bids: the bid list with its limits, and the total if all win."""

from __future__ import annotations

from argparse import Namespace
from collections.abc import Sequence
from dataclasses import replace
from datetime import date
from decimal import Decimal, InvalidOperation

from watchlist.cli import out, session
from watchlist.cli.parser import Parser, replace_option
from watchlist.core.typed.day import day_typed
from watchlist.desk import naming
from watchlist.desk.desk import Desk
from watchlist.desk.errors import DeskError, refusing
from watchlist.desk.files import write_file
from watchlist.desk.morning.morning_text import ended_bids
from watchlist.desk.naming import short_key
from watchlist.desk.plan import bid_sheets
from watchlist.desk.plan.bid_list import BidList, bids
from watchlist.page.bids import COIN, COLUMNS, LOT, BidLine, fitted, lines_in_cells, signs_of
from watchlist.page.columns import wrap
from watchlist.page.lists import measured
from watchlist.page.records import told
from watchlist.page.wording import CAUTION_BIDS

FIELDS = {
    **{name: f"row.{path}" for name, path in (
        ("key", "lot"), ("title", "title"), ("venue", "venue"), ("closes", "closes"),
        ("wants", "wants"), ("bid", "bid"), ("bid_limit", "limit"), ("all_in", "all_in"), ("worst", "worst"),
        ("ceiling", "ceiling"), ("placed", "placed"), ("warnings", "warnings"), ("ended", "ended"), ("fell", "fell"),
    )},
    "stage": "stage", "left": "left", "parcel": "parcel", "sale": "sale", "lot_no": "number", "group": "group",
    "limit_shared": "limit_shared", "alone": "alone", "shared": "shared", "chance": "chance", "likely": "likely",
    "closes_there": "closes_there", "may_run_on": "may_run_on", "due": "due",
}  # fmt: skip
"""A bid as docs/formats.md has it, and where its line holds it."""


def options(parser: Parser) -> None:
    """What it takes."""
    add = parser.add_argument
    add("--budget", metavar="N", default="", help="another budget than the setting's, in home currency")
    add("--venue", metavar="V", default="", help="only bids at this venue")
    add("--day", metavar="DAY", default="", help="only bids that close on this day, as a plan of the day")
    add(
        "--sheet",
        metavar="FILE",
        default="",
        help="write the bids of one sale as a sheet for its venue, without ceilings",
    )
    replace_option(parser)


def run(args: Namespace) -> int:
    """The bids to come and those that have ended, with the total if all win; or some of them, on paper."""
    with session.desk(args, write=False) as desk:
        found = bids(desk, _budget(args.budget))
        venue = naming.venue(desk.terms, args.venue) if args.venue else ""
        day = _day(desk, args.day) if args.day else None
        lines = bid_sheets.chosen(desk, found.lines, venue, day)
        if args.sheet:
            _write_sheet(args, bid_sheets.sheet(desk, lines))
        elif args.json:
            for line in (*lines, *bid_sheets.chosen(desk, found.ended, venue, day)):
                out.record(told(line, FIELDS))
        elif venue or day:
            _some(desk, lines, venue, day)
        else:
            _all(desk, found)
    return out.DONE


def _all(desk: Desk, found: BidList) -> None:
    for line in _listed(desk, found, session.width()) if found.lines or found.ended else ():
        out.data(line)
    if not found.lines and not found.ended:
        out.talk("No bids yet: `watchlist decide KEY bid [AMOUNT]` puts a lot on the list.")


def _some(desk: Desk, lines: list[BidLine], venue: str, day: date | None) -> None:
    """The bids that were asked for, without the sums of all; those of a day as its plan."""
    wide = session.width()
    if not lines:
        out.talk(f"No bids to come {f'at {venue}' if venue else 'on that day'}.")
        return
    rows = [line.row for line in lines]
    for text in _table(desk, lines, wide) if day is None else bid_sheets.day_plan(desk, day, rows, wide):
        out.data(text)


def _write_sheet(args: Namespace, lines: list[str]) -> None:
    path = write_file(args.sheet, "\n".join(lines) + "\n", replace=args.replace)
    for line in lines:
        out.data(line)
    out.talk(f"{path}: written. Watchlist sends nothing: hand it to the venue, then `watchlist decide KEY placed`.")


def _day(desk: Desk, text: str) -> date:
    with refusing():
        return day_typed(text, desk.words, desk.now, desk.settings.home.time_zone).day


def _table(desk: Desk, lines: Sequence[BidLine], wide: int) -> list[str]:
    """The bids in columns, each by the end of its key that names it; a coin that is too long runs on below."""
    keyed = [replace(line, number=short_key(desk.shelf.store, line.row.lot)) for line in lines]
    rows = list(lines_in_cells(keyed, desk.home, desk.settings.home.zone, desk.local_today()))
    columns = fitted(measured(COLUMNS, rows), wide)
    return [columns.head().rstrip(), *(text.rstrip() for row in rows for text in columns.wrapped(row, (LOT, COIN)))]


def _listed(desk: Desk, found: BidList, wide: int) -> list[str]:
    """The bids to come, those that have ended, the sum."""
    text = _table(desk, found.lines, wide) if found.lines else []
    for line in found.lines:
        for warning in line.row.warnings:
            text += wrap(f"  {short_key(desk.shelf.store, line.row.lot)}: {warning}.", wide, indent="    ")
    text += ended_bids(desk, [line.row for line in found.ended], wide)
    signs = "".join(f"{sign}. " for sign in signs_of(found.lines))
    return [*text, "", *wrap(f"{found.foot}.", wide), *wrap(f"{signs}{CAUTION_BIDS}", wide)]


def _budget(text: str) -> Decimal | None:
    if not text:
        return None
    try:
        amount = Decimal(text)
    except InvalidOperation:
        amount = Decimal(-1)
    if not amount.is_finite() or amount < 0:
        raise DeskError(f"--budget takes an amount in home currency, such as 1500, not `{text}`.")
    return amount
