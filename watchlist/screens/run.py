"""From the command line to the screens and back."""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import NamedTuple

from watchlist.screens.background.shelf_access import ShelfAccess
from watchlist.screens.terminal.browser import over_ssh
from watchlist.shelf.settings import default_shelf

FLUSH = 3.0
"""Seconds in which decisions that still wait are written when the screens are left."""
FRAMES = "240"
"""Paints a second at most: a change waits for the next one, and nothing is painted when nothing changes."""
ESC_DELAY = "20"
"""Milliseconds after which a lone Esc is no longer the start of another key. A person's own ESCDELAY counts."""


class Left(NamedTuple):
    """How the screens were left."""

    code: int
    unwritten: Sequence[str] = ()
    """Decisions that could not be written, a sentence each."""
    fault: BaseException | None = None
    """The internal error that ended them, if one did."""


def run_screens(args: argparse.Namespace) -> Left:
    """Open the screens and stay until they are left; decisions that wait are written first."""
    colour = not (args.no_color or "NO_COLOR" in os.environ)
    if not colour:
        os.environ["NO_COLOR"] = "1"
    _hurry()
    from watchlist.screens.app import Screens  # the terminal library reads what `_hurry` sets when it is loaded

    path = Path(args.shelf).expanduser() if args.shelf else default_shelf()
    settings = Path(args.settings).expanduser() if args.settings else None
    access = ShelfAccess(path, args.now, settings, sys.stdout.encoding or "ascii")
    try:
        app = Screens(access, colour=colour)
        app.run(mouse=not args.no_mouse)
        unwritten = app.program.pen.flush(FLUSH)
    finally:
        access.close()
    return Left(app.return_code or 0, unwritten, app.fault)


def _hurry() -> None:
    """Ask the terminal library, before it is loaded, for quick paints and for an Esc that is heard at once."""
    os.environ.setdefault("TEXTUAL_FPS", FRAMES)
    if not over_ssh():  # on a long line the letters of one key may come apart
        os.environ.setdefault("ESCDELAY", ESC_DELAY)
