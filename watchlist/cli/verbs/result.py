"""watchlist result: what a lot fetched, and whether it was won."""

from __future__ import annotations

from argparse import Namespace

from watchlist.cli.parser import Parser
from watchlist.cli.verbs.decide import carry_out, on_day
from watchlist.desk.desk import Desk
from watchlist.desk.recording import Decided
from watchlist.desk.results import results


def options(parser: Parser) -> None:
    """What it takes."""
    parser.add_argument("key", metavar="KEY", help="the lot: its key or any unique end of it")
    parser.add_argument(
        "price",
        metavar="PRICE",
        nargs="?",
        default="",
        help="the hammer price, in the currency of the sale unless it names another; left out: as the source says",
    )
    parser.add_argument("--won", action="store_true", help="you won it; else another bidder did")
    parser.add_argument("--provisional", action="store_true", help="won, but the seller may still refuse")
    on_day(parser)
    parser.add_argument("--anyway", action="store_true", help="record it even if it was won above your own bid")


def run(args: Namespace) -> int:
    """Write the result down."""
    return carry_out(args, lambda desk: _result(desk, args))


def _result(desk: Desk, args: Namespace) -> Decided:
    said = {"won": args.won, "provisional": args.provisional, "on": args.on, "anyway": args.anyway}
    return results.result(desk, args.key, args.price, **said)
