"""watchlist bids: the bid list with its limits, and the total if all win."""

from __future__ import annotations

from argparse import Namespace
from decimal import Decimal, InvalidOperation

from watchlist.cli import out, session
from watchlist.cli.parser import Parser
from watchlist.cli.verbs.gather import ended_bids
from watchlist.core.decisions.plan import BidList, BidRow
from watchlist.desk import bidding
from watchlist.desk.desk import Desk
from watchlist.desk.errors import DeskError
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
    parser.add_argument("--budget", metavar="N", default="", help="home currency; else the setting")


def run(args: Namespace) -> int:
    """The bids to come and those that have ended, with the total if all win."""
    with session.desk(args, write=False) as desk:
        found = bidding.bids(desk, _budget(args.budget))
        if args.json:
            for row in (*found.rows, *found.ended):
                out.record(told(row, FIELDS))
        elif found.rows or found.ended:
            for line in _listed(desk, found, session.width()):
                out.data(line)
        else:
            out.talk("No bids yet: `watchlist decide KEY bid [AMOUNT]` puts a lot on the list.")
    return out.DONE


def _listed(desk: Desk, found: BidList, wide: int) -> list[str]:
    """The bids to come, those that have ended, the sum."""
    text: list[str] = []
    if found.rows:
        heads = ("closes", "lot", "bid", "bid limit", "all-in", "left of budget" if wide >= 100 else "left", "stage")
        rows = [heads, *(_row(desk, row) for row in found.rows)]
        text += table(rows, right=frozenset({0, 2, 3, 4, 5}), width=wide, give=(1,))
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
