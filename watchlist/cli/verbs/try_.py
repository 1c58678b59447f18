"""watchlist try: the sample shelf in a temporary folder."""

from __future__ import annotations

import sys
import tempfile
from argparse import Namespace
from pathlib import Path

from watchlist.cli import out, session
from watchlist.cli.parser import Parser
from watchlist.cli.screens import can_draw, open_on
from watchlist.cli.verbs import gather
from watchlist.desk.desk import Desk
from watchlist.desk.errors import DeskError
from watchlist.desk.sample import Sample, find_sample, lay_out, load
from watchlist.shelf.shelf import Shelf


def options(parser: Parser) -> None:
    """What it takes."""
    parser.add_argument("--plain", action="store_true", help="print the morning even on a terminal")
    parser.add_argument("--keep", metavar="DIR", default="", help="lay the sample shelf out in this folder, to work on")


def run(args: Namespace) -> int:
    """Lay the sample shelf out and print its morning, or open the screens on it."""
    sample = load(find_sample())
    if args.keep:
        return _keep(sample, Path(args.keep).expanduser())
    with tempfile.TemporaryDirectory(prefix="watchlist-sample-") as folder:
        shelf = Path(folder) / "shelf"
        drawn = not args.plain and not args.json and can_draw()
        if not drawn:
            out.data("The sample shelf: an invented country's coins, invented venues, one made-up morning.")
            sys.stdout.flush()  # there is something to read while the shelf is made
        _lay_out(sample, shelf)
        if drawn:
            args.shelf, args.now = str(shelf), sample.morning
            return open_on(args)
        _print(sample, shelf)
    return out.DONE


def _keep(sample: Sample, shelf: Path) -> int:
    """Lay it out where it stays. Raises DeskError for a folder that holds something."""
    if shelf.exists() and (not shelf.is_dir() or any(shelf.iterdir())):
        raise DeskError(f"{shelf} is there and not an empty folder. Nothing was written; name another.")
    _lay_out(sample, shelf)
    out.talk(f"The sample shelf is in {shelf}. Its morning is {sample.morning.isoformat()}:")
    out.talk(f"watchlist --shelf {shelf} --now {sample.morning.isoformat()}")
    return out.DONE


def _lay_out(sample: Sample, shelf: Path) -> None:
    progress = session.Progress()
    lay_out(sample, shelf, progress, season=True)
    progress.end()


def _print(sample: Sample, shelf: Path) -> None:
    with Shelf.open(shelf, write=False, today=lambda: sample.morning.date()) as opened:
        gather.tell(Desk(opened, sample.morning), session.width())
    sys.stdout.flush()
    out.talk("From a mark to a bid, worked on this sample: docs/season.md.")
    out.talk("Your own: `watchlist import`, `watchlist source add`, `watchlist gather`; README.md shows the way.")
