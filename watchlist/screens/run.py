"""From the command line to the screens and back."""

from __future__ import annotations

import argparse
import os
from pathlib import Path

from watchlist.screens.app import Screens
from watchlist.screens.session import Session
from watchlist.shelf.settings import default_shelf


def run_screens(args: argparse.Namespace) -> int:
    """Open the screens and stay until they are left; the exit code."""
    colour = not (args.no_color or "NO_COLOR" in os.environ)
    if not colour:
        os.environ["NO_COLOR"] = "1"
    path = Path(args.shelf).expanduser() if args.shelf else default_shelf()
    session = Session(path, args.now, Path(args.settings).expanduser() if args.settings else None)
    try:
        app = Screens(session, colour=colour)
        app.run(mouse=not args.no_mouse)
    finally:
        session.close()
    if app.fault is not None:
        raise app.fault
    return app.return_code or 0
