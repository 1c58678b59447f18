"""watchlist piece: what became of a piece after it was won."""

from __future__ import annotations

from argparse import Namespace

from watchlist.cli.parser import Parser, WrongUse
from watchlist.cli.verbs.decide import carry_out, on_day
from watchlist.desk.desk import Desk
from watchlist.desk.held import pieces, unspoken
from watchlist.desk.held.exchange import exchange
from watchlist.desk.recording import Decided

ALL = "all"


def options(parser: Parser) -> None:
    """What it takes."""
    parser.add_argument("key", metavar="KEY|S-014", help="the lot it was won as, or its stock number; or `all`")
    parser.add_argument("what", metavar="WHAT", choices=tuple(pieces.ACTS), help=", ".join(pieces.ACTS))
    parser.add_argument(
        "amount", metavar="SUM|TEXT", nargs="?", default="", help="of a refund or a sale, home currency; else words"
    )
    parser.add_argument("--reason", default="", metavar="R", help="`not as described` takes its price out of the bands")
    parser.add_argument("--postage", default="", metavar="SUM", help="what sending it back cost")
    parser.add_argument("--fees", default="", metavar="SUM", help="what selling it cost, or a grading service")
    parser.add_argument("--into", default="", metavar="P12", help="with `sold`: in part exchange for this parcel")
    parser.add_argument("--grade", default="", metavar="G", help="with `from-service`: the grade it gave")
    parser.add_argument("--service", default="", metavar="CODE", help="with `from-service`: its code")
    parser.add_argument("--cert", default="", metavar="N", help="with `from-service`: the number of its certificate")
    parser.add_argument("--reserve", default="", metavar="SUM", help="with `consigned`: not to be sold under it")
    parser.add_argument(
        "--before", default="", metavar="D", help="with `all kept`: every win before D of which nothing was said"
    )
    on_day(parser)
    parser.add_argument("--anyway", action="store_true", help="record it in spite of the warning")


def run(args: Namespace) -> int:
    """Write it down."""
    return carry_out(args, lambda desk: _say(desk, args))


def _say(desk: Desk, args: Namespace) -> Decided:
    if args.before:
        if (args.key, args.what, args.amount) != (ALL, "kept", ""):
            raise WrongUse(f"--before goes with `watchlist piece {ALL} kept`. Nothing was written")
        return unspoken.keep(desk, args.before, on=args.on, anyway=args.anyway)
    back = (args.grade, args.service, args.cert, args.reserve)
    said = pieces.Said(args.what, args.amount, args.on, args.reason, args.postage, args.fees, *back)
    if args.into:
        return exchange(desk, args.key, said, args.into, anyway=args.anyway)
    return pieces.say(desk, args.key, said, anyway=args.anyway)
