"""watchlist restore: a backup unpacked into an empty shelf."""

from __future__ import annotations

from argparse import Namespace
from pathlib import Path

from watchlist.cli import out, session
from watchlist.cli.parser import Parser
from watchlist.shelf.backup import restore


def options(parser: Parser) -> None:
    """What it takes."""
    parser.add_argument("file", metavar="FILE", help="the backup to unpack")
    parser.add_argument("--replace", action="store_true", help="replace what this shelf holds; that is saved beside it")


def run(args: Namespace) -> int:
    """Unpack it; what the shelf held is kept beside."""
    shelf = session.shelf_path(args)
    kept = restore(Path(args.file).expanduser(), shelf, replace=args.replace, today=lambda: args.now.date())
    beside = f" What it held before lies in {kept}." if kept else ""
    out.talk(f"{shelf}: restored from {args.file}.{beside}")
    return out.DONE
