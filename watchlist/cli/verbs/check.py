"""watchlist check: settings, sources, column maps, stores, age of prices and rates."""

from __future__ import annotations

from argparse import Namespace
from collections.abc import Iterator

from watchlist.cli import out, session
from watchlist.cli.parser import Parser
from watchlist.desk.checking import Finding, check
from watchlist.desk.desk import Desk
from watchlist.desk.judging.called import calls
from watchlist.page.columns import table, wrap
from watchlist.screens.keys import Keys


def options(parser: Parser) -> None:
    """What it takes."""
    parser.add_argument("--marks", action="store_true", help="how the marks of the last months came out")


def run(args: Namespace) -> int:
    """Print what was looked at, and what wants a hand."""
    with session.desk(args, write=False) as desk:
        if args.marks:
            return _marks(desk, args)
        for finding in (*check(desk), *_keys(desk)):
            if args.json:
                out.record({"what": finding.what, "ok": finding.ok, "text": finding.text})
            else:
                line = f"{'ok    ' if finding.ok else 'failed'}  {finding.what}: {finding.text}"
                for part in wrap(line, session.width(), indent="        "):
                    out.data(part)
    return out.DONE


def _marks(desk: Desk, args: Namespace) -> int:
    """How often a value held the later price, and what lots marked Bargain were sold for."""
    found = calls(desk)
    if args.json:
        counts = {name: {"held": held, "sold": sold} for name, (held, sold) in found.by.items()}
        shares = [round(share, 3) for share in found.shares]
        out.record({"sold": found.sold, "held": found.held, "by": counts, "bargains": shares})
        return out.DONE
    for part in wrap(found.line, session.width()):
        out.data(part)
    rows = [("grade or series", "held", "sold")]
    rows += [(name, str(held), str(sold)) for name, (held, sold) in found.by.items()]
    for line in table(rows, right=frozenset({1, 2})) if found.by else ():
        out.data(line)
    return out.DONE


def _keys(desk: Desk) -> Iterator[Finding]:
    """What stands wrong under [keys], as the screens say it when they open."""
    for notice in Keys(desk.settings.keys).notices:
        yield Finding("keys", False, notice)
