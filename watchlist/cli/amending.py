"""Options that mend the person's own data: sales of the verb `price`, lots of the verb `lots`."""

from __future__ import annotations

from argparse import Namespace
from collections.abc import Sequence

from watchlist.cli import out
from watchlist.cli.parser import Parser, WrongUse
from watchlist.desk.decisions.correcting import mend_all
from watchlist.desk.desk import Desk
from watchlist.desk.errors import DeskError
from watchlist.desk.prices import amending
from watchlist.desk.settling import settle
from watchlist.desk.typed import lots_amended

BACK = "; `watchlist undo` takes it back"


def sale_options(parser: Parser) -> None:
    """Moving, correcting and deleting sales."""
    add = parser.add_mutually_exclusive_group().add_argument
    add(
        "--move", nargs=2, metavar=("SALES", "ISSUE"), help="put sales under another issue: 12,15-18 or file:prices.csv"
    )
    add("--correct", nargs="+", metavar="SALES FIELD=VALUE", help="correct sales: 12 grade=VF-30")
    add("--delete", metavar="SALES", help="delete sales; they do not come back with their file")


def amend_sales(desk: Desk, args: Namespace) -> bool:
    """Do what the options say; False when they say nothing."""
    if args.move:
        done = amending.move(desk, *args.move)
    elif args.correct:
        done = amending.correct(desk, args.correct[0], _pairs(args.correct[1:]))
    elif args.delete:
        done = amending.delete(desk, args.delete)
    else:
        return False
    settle(desk, amending.DUE)
    out.talk(f"{done.said}{BACK}.")
    return True


def lot_options(parser: Parser) -> None:
    """Binding, correcting and deleting lots."""
    add = parser.add_mutually_exclusive_group().add_argument
    add("--issue", metavar="ISSUE", help="these lots are of this issue, whatever their titles say")
    add("--correct", nargs="+", metavar="FIELD=VALUE", help="correct the reading of these lots: grade=VF-30")
    add("--delete", action="store_true", help="delete these lots; one with a bid or a result stays")


def amends_lots(args: Namespace) -> bool:
    """The options ask for a change."""
    return bool(args.issue or args.correct or args.delete)


def amend_lots(desk: Desk, keys: Sequence[str], args: Namespace) -> None:
    """Do to these lots what the options say. Raises DeskError."""
    if not keys:
        raise DeskError("No lot is meant. Nothing was changed.")
    if args.delete:
        out.talk(f"{lots_amended.delete(desk, keys)}{BACK}.")
    else:
        fields = dict(pair.partition("=")[::2] for pair in _pairs(args.correct or ()))
        said = mend_all(desk, keys, {"issue": args.issue} if args.issue else fields)
        out.talk(f"{said}{BACK}.")


def _pairs(words: Sequence[str]) -> Sequence[str]:
    for word in words:
        if "=" not in word:
            raise WrongUse(f"write FIELD=VALUE, such as grade=VF-30, not `{word}`; nothing was changed")
    return words
