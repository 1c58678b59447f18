"""watchlist decide: follow, skip, the whole life of a bid; and how every decision is told."""

from __future__ import annotations

from argparse import Namespace
from collections.abc import Callable

from watchlist.cli import out, session
from watchlist.cli.parser import Parser
from watchlist.desk.decisions import deciding
from watchlist.desk.desk import Desk
from watchlist.desk.recording import Decided
from watchlist.desk.settling import settle

ACTS = (
    *("follow", "skip", "bid", "buy", "offer", "placed", "acknowledged", "outbid", "cancelled"),
    *("unsold", "withdrawn", "clear"),
)


def options(parser: Parser) -> None:
    """What it takes."""
    parser.add_argument("key", metavar="KEY", help="the lot: its key or any unique end of it")
    parser.add_argument("what", metavar="WHAT", choices=ACTS, help=", ".join(ACTS))
    parser.add_argument(
        "amount",
        metavar="AMOUNT",
        nargs="?",
        default="",
        help="of the bid, in the currency of the sale; or the last bid on an unsold lot",
    )
    on_day(parser)
    parser.add_argument(
        "--shared", action="store_true", help="a bid that counts on another lot of its parcel being won"
    )
    parser.add_argument("--anyway", action="store_true", help="record it even over the ceiling or the budget")


def run(args: Namespace) -> int:
    """One decision on one lot."""
    return carry_out(args, lambda desk: _decide(desk, args))


def _decide(desk: Desk, args: Namespace) -> Decided:
    said = {"anyway": args.anyway, "shared": args.shared, "on": args.on}
    return deciding.decide(desk, [args.key], args.what, args.amount, **said)


def on_day(parser: Parser) -> None:
    """The option for the day of what is told later."""
    parser.add_argument("--on", metavar="D", default="", help="the day it happened, where that is not today")


def carry_out(args: Namespace, do: Callable[[Desk], Decided]) -> int:
    """Write a decision, or a step back or forth, and tell what it did and warns of."""
    with session.desk(args, write=True) as desk:
        done = do(desk)
        settle(desk, done.due)
        for warning in done.warnings:
            out.talk(f"Warning: {warning}.")
        out.talk(f"{done.said}.")
        if args.json:
            for key in done.keys:
                row = desk.shelf.store.lots.get(key)
                out.record({"key": key, "state": row.state if row else None})
    return out.DONE
