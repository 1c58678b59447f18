"""watchlist backup, watchlist restore."""

from __future__ import annotations

from argparse import Namespace
from pathlib import Path

from watchlist.cli import out, session
from watchlist.desk.errors import DeskError
from watchlist.shelf.backup import backup, default_target, restore


def run(args: Namespace) -> int:
    """Pack the shelf into a file, or unpack one into an empty shelf."""
    shelf = session.shelf_path(args)
    if args.verb == "backup":
        target = Path(args.file).expanduser() if args.file else default_target(shelf, args.now.date())
        if target.is_file() and not args.replace:
            raise DeskError(f"{target} is there already. Nothing was written; --replace writes over it.")
        backup(shelf, target)
        out.talk(f"{target}: the whole shelf is in it.")
    else:
        kept = restore(Path(args.file).expanduser(), shelf, replace=args.replace, today=lambda: args.now.date())
        beside = f" What it held before lies in {kept}." if kept else ""
        out.talk(f"{shelf}: restored from {args.file}.{beside}")
    return out.DONE
