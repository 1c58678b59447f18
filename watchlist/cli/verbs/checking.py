"""watchlist check: settings, sources, column maps, stores, age of prices and rates."""

from __future__ import annotations

from argparse import Namespace

from watchlist.cli import out, session
from watchlist.desk.checking import check
from watchlist.page.columns import wrap


def run(args: Namespace) -> int:
    """Print what was looked at, and what wants a hand."""
    with session.desk(args, write=False) as desk:
        for finding in check(desk):
            if args.json:
                out.record({"what": finding.what, "ok": finding.ok, "text": finding.text})
            else:
                line = f"{'ok  ' if finding.ok else 'look'}  {finding.what}: {finding.text}"
                for part in wrap(line, session.width(), indent="      "):
                    out.data(part)
    return out.DONE
