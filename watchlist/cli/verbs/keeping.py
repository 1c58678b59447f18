"""watchlist backup, watchlist restore."""

from __future__ import annotations

from argparse import Namespace
from pathlib import Path

from watchlist.cli import out, session
from watchlist.shelf.backup import backup, restore


def run(args: Namespace) -> int:
    """Pack the shelf into a file, or unpack one into an empty shelf."""
    shelf = session.shelf_path(args)
    if args.verb == "backup":
        target = Path(args.file).expanduser() if args.file else Path(f"watchlist-{args.now:%Y-%m-%d}.zip")
        backup(shelf, target)
        out.talk(f"{target}: the whole shelf is in it.")
    else:
        restore(Path(args.file).expanduser(), shelf, replace=args.replace)
        out.talk(f"{shelf}: restored from {args.file}.")
    return out.DONE
