"""A shelf opened for one command."""

from __future__ import annotations

import shutil
import sys
from argparse import Namespace
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from watchlist.cli import out
from watchlist.desk.desk import Desk
from watchlist.shelf.settings import default_shelf
from watchlist.shelf.shelf import Shelf


def shelf_path(args: Namespace) -> Path:
    """The folder of the shelf: --shelf, else the environment's, else the system's."""
    return Path(args.shelf).expanduser() if args.shelf else default_shelf()


@contextmanager
def desk(args: Namespace, *, write: bool) -> Iterator[Desk]:
    """The desk on the person's shelf; notices go to stderr."""
    settings = Path(args.settings).expanduser() if args.settings else None
    with Shelf.open(shelf_path(args), write=write, settings=settings, today=lambda: args.now.date()) as shelf:
        for notice in shelf.notices:
            out.talk(notice)
        yield Desk(shelf, args.now, sys.stdout.encoding or "ascii")


def said(args: Namespace) -> dict[str, str]:
    """What was said by options and words, as text: an option that was left out is not there."""
    return {name: value for name, value in vars(args).items() if isinstance(value, str)}


def width() -> int:
    """The width of printed lines: the terminal's, at most 120, or 100 where nothing is known."""
    if not sys.stdout.isatty():
        return 100
    return max(min(shutil.get_terminal_size((100, 24)).columns, 120), 40)


class Progress:
    """Steps of long work on one line of stderr; silent where stderr is no terminal."""

    def __init__(self) -> None:
        self._shown = False

    def __call__(self, what: str, share: float) -> bool:
        """Show a step; always goes on."""
        if sys.stderr.isatty():
            print(f"\r{what}, {share:.0%}".ljust(60), end="", file=sys.stderr, flush=True)
            self._shown = True
        return True

    def end(self) -> None:
        """Clear the line."""
        if self._shown:
            print("\r".ljust(61) + "\r", end="", file=sys.stderr, flush=True)
