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
from watchlist.desk.sample import Sample, find_sample, lay_out, load
from watchlist.shelf.shelf import Shelf


def options(parser: Parser) -> None:
    """What it takes."""
    parser.add_argument("--plain", action="store_true", help="print the morning even on a terminal")


def run(args: Namespace) -> int:
    """Lay the sample shelf out and print its morning, or open the screens on it."""
    sample = load(find_sample())
    with tempfile.TemporaryDirectory(prefix="watchlist-sample-") as folder:
        shelf = Path(folder) / "shelf"
        progress = session.Progress()
        lay_out(sample, shelf, progress)
        progress.end()
        if not args.plain and not args.json and can_draw():
            args.shelf, args.now = str(shelf), sample.morning
            return open_on(args)
        _print(sample, shelf)
    return out.DONE


def _print(sample: Sample, shelf: Path) -> None:
    with Shelf.open(shelf, write=False, today=lambda: sample.morning.date()) as opened:
        out.data("The sample shelf: an invented country's coins, invented venues, one made-up morning.")
        gather.tell(Desk(opened, sample.morning), session.width())
    sys.stdout.flush()
    out.talk("Your own: `watchlist import`, `watchlist source add`, `watchlist gather`; README.md shows the way.")
