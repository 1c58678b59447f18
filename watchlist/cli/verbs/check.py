"""watchlist check: settings, sources, column maps, stores, age of prices and rates."""

from __future__ import annotations

from argparse import Namespace
from collections.abc import Iterator

from watchlist.cli import out, session
from watchlist.cli.parser import Parser
from watchlist.desk.checking import Finding, check
from watchlist.desk.desk import Desk
from watchlist.page.columns import wrap
from watchlist.screens.keys import Keys


def options(_: Parser) -> None:
    """It takes nothing more."""


def run(args: Namespace) -> int:
    """Print what was looked at, and what wants a hand."""
    with session.desk(args, write=False) as desk:
        for finding in (*check(desk), *_keys(desk)):
            if args.json:
                out.record({"what": finding.what, "ok": finding.ok, "text": finding.text})
            else:
                line = f"{'ok  ' if finding.ok else 'look'}  {finding.what}: {finding.text}"
                for part in wrap(line, session.width(), indent="      "):
                    out.data(part)
    return out.DONE


def _keys(desk: Desk) -> Iterator[Finding]:
    """What stands wrong under [keys], as the screens say it when they open."""
    for notice in Keys(desk.settings.keys).notices:
        yield Finding("keys", False, notice)
