"""watchlist result: what a lot fetched, and whether it was won."""

from __future__ import annotations

from argparse import Namespace

from watchlist.cli.parser import Parser
from watchlist.cli.verbs.decide import carry_out
from watchlist.desk import results


def options(parser: Parser) -> None:
    """What it takes."""
    parser.add_argument("key", metavar="KEY")
    parser.add_argument("price", metavar="PRICE", help="the hammer price, the venue's currency unless it says another")
    parser.add_argument("--won", action="store_true")


def run(args: Namespace) -> int:
    """Write the result down."""
    return carry_out(args, lambda desk: results.result(desk, args.key, args.price, won=args.won))
