"""watchlist backup: the whole shelf packed into one file."""

from __future__ import annotations

from argparse import Namespace
from pathlib import Path

from watchlist.cli import out, session
from watchlist.cli.parser import Parser
from watchlist.desk.errors import DeskError
from watchlist.shelf.backup import backup, default_target


def options(parser: Parser) -> None:
    """What it takes."""
    parser.add_argument("file", metavar="FILE", nargs="?", default="", help="where to; else into the shelf's `backups`")
    parser.add_argument("--replace", action="store_true", help="although there is such a file")


def run(args: Namespace) -> int:
    """Pack the shelf."""
    shelf = session.shelf_path(args)
    target = Path(args.file).expanduser() if args.file else default_target(shelf, args.now.date())
    if target.is_file() and not args.replace:
        raise DeskError(f"{target} is there already. Nothing was written; --replace writes over it.")
    backup(shelf, target)
    out.talk(f"{target}: the whole shelf is in it.")
    return out.DONE
