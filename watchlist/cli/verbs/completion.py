"""watchlist completion: what a shell reads to complete verbs, options and their values."""

from __future__ import annotations

from argparse import Namespace

from watchlist.cli import completing, out
from watchlist.cli.parser import Parser


def options(parser: Parser) -> None:
    """What it takes."""
    parser.add_argument("shell", metavar="SHELL", choices=tuple(completing.SHAPES), help=", ".join(completing.SHAPES))


def run(args: Namespace) -> int:
    """Print the script."""
    out.data(completing.script(args.shell).rstrip())
    return out.DONE
