"""watchlist backup: the whole shelf packed into one file."""

from __future__ import annotations

from argparse import Namespace

from watchlist.cli import out, session
from watchlist.cli.parser import Parser, replace_option
from watchlist.desk.errors import DeskError
from watchlist.desk.files import check_free
from watchlist.page.wording import count
from watchlist.shelf.backup import backup, default_target, keep_newest


def options(parser: Parser) -> None:
    """What it takes."""
    parser.add_argument("file", metavar="FILE", nargs="?", default="", help="where to; else into the shelf's `backups`")
    parser.add_argument("--keep", type=int, default=0, metavar="N", help="of those in `backups` keep the N newest")
    replace_option(parser)


def run(args: Namespace) -> int:
    """Pack the shelf."""
    shelf = session.shelf_path(args)
    target = check_free(args.file, replace=args.replace) if args.file else default_target(shelf, args.now.date())
    if args.keep < 0:
        raise DeskError(f"--keep is 1 or more, not {args.keep}. Nothing was written.")
    backup(shelf, target)
    out.talk(f"{target}: the whole shelf is in it.")
    if args.keep and (gone := keep_newest(shelf, args.keep)):
        out.talk(f"{count(len(gone), 'older backup')} taken away: {', '.join(file.name for file in gone)}.")
    return out.DONE
