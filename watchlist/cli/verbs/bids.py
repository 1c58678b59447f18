"""watchlist bids: the bid list with its limits, and the total if all win."""

from __future__ import annotations

from argparse import Namespace
from collections.abc import Sequence
from datetime import date
from decimal import Decimal, InvalidOperation

from watchlist.cli import out, session
from watchlist.cli.files import replace_option, write_file
from watchlist.cli.parser import Parser
from watchlist.core.decisions.plan import BidList, BidRow
from watchlist.core.typed.day import day_typed
from watchlist.desk import bid_sheets, bidding, naming
from watchlist.desk.desk import Desk
from watchlist.desk.errors import DeskError, refusing
from watchlist.desk.morning_text import ended_bids
from watchlist.desk.naming import short_key
from watchlist.page.columns import cut, table, wrap
from watchlist.page.records import told
from watchlist.page.wording import CAUTION_BIDS, money, time_left

FIELDS = {
    "key": "lot",
    "title": "title",
    "venue": "venue",
    "stage": "stage",
    "closes": "closes",
    "wants": "wants",
    "bid": "bid",
    "bid_limit": "limit",
    "all_in": "all_in",
    "worst": "worst",
    "ceiling": "ceiling",
    "left": "left",
    "placed": "placed",
    "warnings": "warnings",
    "ended": "ended",
    "fell": "fell",
}
"""A bid as docs/formats.md has it, and where its record holds it."""


def options(parser: Parser) -> None:
    """What it takes."""
    add = parser.add_argument
    add("--budget", metavar="N", default="", help="home currency; else the setting")
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
        found = bidding.bids(desk, _budget(args.budget))
        venue = naming.venue(desk.terms, args.venue) if args.venue else ""
        day = _day(desk, args.day) if args.day else None
        rows = bid_sheets.chosen(desk, found.rows, venue, day)
        if args.sheet:
            _write_sheet(args, bid_sheets.sheet(desk, rows))
        elif args.json:
            for row in (*rows, *bid_sheets.chosen(desk, found.ended, venue, day)):
                out.record(told(row, FIELDS))
        elif venue or day:
            _some(desk, rows, venue, day)
        else:
            _all(desk, found)
    return out.DONE


def _all(desk: Desk, found: BidList) -> None:
    for line in _listed(desk, found, session.width()) if found.rows or found.ended else ():
        out.data(line)
    if not found.rows and not found.ended:
        out.talk("No bids yet: `watchlist decide KEY bid [AMOUNT]` puts a lot on the list.")


def _some(desk: Desk, rows: list[BidRow], venue: str, day: date | None) -> None:
    """The bids that were asked for, without the sums of all; those of a day as its plan."""
    wide = session.width()
    if not rows:
        out.talk(f"No bids to come {f'at {venue}' if venue else 'on that day'}.")
        return
    for line in _table(desk, rows, wide) if day is None else bid_sheets.day_plan(desk, day, rows, wide):
        out.data(line)


def _write_sheet(args: Namespace, lines: list[str]) -> None:
    path = write_file(args.sheet, "\n".join(lines) + "\n", replace=args.replace)
    for line in lines:
        out.data(line)
    out.talk(f"{path}: written. Watchlist sends nothing: hand it to the venue, then `watchlist decide KEY placed`.")


def _day(desk: Desk, text: str) -> date:
    with refusing():
        return day_typed(text, desk.words, desk.now, desk.settings.home.time_zone).day


def _table(desk: Desk, rows: Sequence[BidRow], wide: int) -> list[str]:
    heads = ("closes", "lot", "bid", "bid limit", "all-in", "left of budget" if wide >= 100 else "left", "stage")
    return table([heads, *(_row(desk, row) for row in rows)], right=frozenset({0, 2, 3, 4, 5}), width=wide, give=(1,))


def _listed(desk: Desk, found: BidList, wide: int) -> list[str]:
    """The bids to come, those that have ended, the sum."""
    text: list[str] = []
    if found.rows:
        text += _table(desk, found.rows, wide)
    for row in found.rows:
        for warning in row.warnings:
            text += wrap(f"  {short_key(desk.shelf.store, row.lot)}: {warning}.", wide, indent="    ")
    text += ended_bids(desk, found.ended, wide)
    return [*text, "", *wrap(f"{found.foot}.", wide), *wrap(CAUTION_BIDS, wide)]


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


def _row(desk: Desk, row: BidRow) -> tuple[str, ...]:
    return (
        time_left(row.closes, desk.now),
        f"{short_key(desk.shelf.store, row.lot)}  {cut(row.title, 44)}",
        money(row.bid) if row.bid else "",
        money(row.limit) if row.limit else "",
        money(row.worst) if row.worst else "",
        money(row.left) if row.left else "",
        row.stage,
    )
