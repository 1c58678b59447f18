"""watchlist catalogue join, list: spellings that mean a name of the catalogue."""

from __future__ import annotations

from argparse import Namespace

from watchlist.cli import out, session
from watchlist.cli.changing import change
from watchlist.cli.parser import Parser, acts
from watchlist.core.imports.spelling import Joins
from watchlist.desk.desk import Desk
from watchlist.desk.prices import joining
from watchlist.page.columns import table
from watchlist.page.wording import count

ACTS = {
    "join": "another spelling of a country, denomination or mint of your catalogue",
    "list": "the spellings that were joined",
}
"""The acts, each with its line of help."""


def options(parser: Parser) -> None:
    """What it takes."""
    made = acts(parser, ACTS)
    made["join"].add_argument("written", metavar="WRITTEN", help="the other spelling")
    made["join"].add_argument("meant", metavar="NAME", help="the name in your catalogue")
    made["join"].add_argument("--what", choices=list(joining.FIELDS), default="", help="where the name is several")


def run(args: Namespace) -> int:
    """One act on the catalogue's names."""
    return change(args, _join, joining.DUE) if args.act == "join" else _list(args)


def _join(desk: Desk, args: Namespace) -> str:
    done = joining.join(desk, args.written, args.meant, args.what)
    parts = (f"{count(done.issues, 'issue')}", f"{count(done.prices, 'price')}", f"{count(done.wants, 'want')}")
    return f"{done.what} `{done.written}` means {done.meant} from now on; moved: {', '.join(parts)}."


def _list(args: Namespace) -> int:
    with session.desk(args, write=False) as desk:
        if args.json:
            for what, written, meant in joining.listed(desk):
                out.record({"what": what, "written": written, "meant": meant})
            return out.DONE
        for line in _lines(desk.spellings):
            out.data(line)
    return out.DONE


def _lines(joins: Joins) -> list[str]:
    rows = [(what, written, meant) for what, names in joins.items() for written, meant in names.items()]
    return table([("what", "written", "means"), *rows]) if rows else ["No spelling was joined yet."]
