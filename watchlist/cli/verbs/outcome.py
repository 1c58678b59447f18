"""watchlist outcome KEY WORD: what a piece that was bought proved to be."""

from __future__ import annotations

from argparse import Namespace

from watchlist.cli.changing import change
from watchlist.cli.parser import Parser
from watchlist.desk.desk import Desk
from watchlist.desk.held.outcomes import DUE, WORDS, say


def options(parser: Parser) -> None:
    """What it takes."""
    parser.add_argument("key", metavar="KEY|S-014", help="the lot it was bought as, or its stock number")
    parser.add_argument("said", metavar="OUTCOME", help=f"one of {', '.join(WORDS)}, or its true grade")
    parser.add_argument("steps", metavar="N", nargs="?", default="1", help="how many grades lower than stated")


def run(args: Namespace) -> int:
    """Record it; lots of the seller and issue are marked again."""
    return change(args, _say, DUE)


def _say(desk: Desk, args: Namespace) -> str:
    return say(desk, args.key, args.said, args.steps)
