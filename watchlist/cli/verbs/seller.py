"""watchlist seller NAME: what the shelf knows of a seller."""

from __future__ import annotations

from argparse import Namespace

from watchlist.cli import out, session
from watchlist.cli.parser import Parser
from watchlist.desk.judging.sellers import seller
from watchlist.page.columns import wrap
from watchlist.page.sellers import lines


def options(parser: Parser) -> None:
    """What it takes."""
    parser.add_argument("name", metavar="NAME", help="the seller as its lots name it")


def run(args: Namespace) -> int:
    """Print the seller's page."""
    with session.desk(args, write=False) as desk:
        found = seller(desk, args.name)
        if args.json:
            out.record(
                {
                    "seller": found.name,
                    "seen": found.seen,
                    "open": found.open,
                    "marks": dict(found.marks),
                    "bought": found.bought,
                    "outcomes": found.outcomes,
                    "odds": round(found.odds, 3),
                    "over_grading": [round(share, 3) for share in found.short or ()],
                }
            )
            return out.DONE
        for line in lines(found):
            for part in wrap(line, session.width(), indent="  "):
                out.data(part)
    return out.DONE
