"""watchlist without a verb: the screens, where the terminal can show them."""

from __future__ import annotations

import os
import sys
from argparse import Namespace

from watchlist.cli import out


def can_draw() -> bool:
    """A terminal at both ends that can move its cursor."""
    ends = sys.stdin.isatty() and sys.stdout.isatty() and sys.stderr.isatty()
    return ends and os.environ.get("TERM", "") not in ("", "dumb")


def run(args: Namespace) -> int:
    """Open the screens, or say which command prints the same."""
    if not can_draw():
        out.talk(
            "watchlist: the screens need a terminal; `watchlist gather` prints the morning, "
            "`watchlist lots --plain` the lots, `watchlist --help` lists the rest."
        )
        return out.WRONG_USE
    return open_on(args)


def open_on(args: Namespace) -> int:
    """Open the screens on the shelf."""
    from watchlist.screens.run import run_screens

    left = run_screens(args)
    for sentence in left.unwritten:
        out.talk(f"watchlist: {sentence}")
    if left.fault is not None:
        raise left.fault
    return left.code or (out.SHELF_IN_USE if left.unwritten else out.DONE)
