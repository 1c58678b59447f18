"""watchlist marks: try another chance for bargains, or another table of signs, before it is used."""

from __future__ import annotations

from argparse import Namespace
from importlib import resources
from pathlib import Path

from watchlist.cli import out, session
from watchlist.cli.parser import Parser
from watchlist.core.clean import clean
from watchlist.desk.desk import Desk
from watchlist.desk.due import MARKS
from watchlist.desk.errors import DeskError
from watchlist.desk.judging import trying
from watchlist.desk.settling import settle
from watchlist.page.columns import cut, table
from watchlist.page.wording import MARK_WORDS

OWN = "signs.toml"
SHOWN = 12


def options(parser: Parser) -> None:
    """What it takes."""
    what = parser.add_mutually_exclusive_group(required=True)
    what.add_argument("--curve", action="store_true", help="what other values of bargain_chance would have marked")
    what.add_argument(
        "--signs", action="store_true", help="what your signs.toml would change; writes one to begin with"
    )
    parser.add_argument("--keep", action="store_true", help="use that table of signs from now on")


def run(args: Namespace) -> int:
    """The curve, or the table of signs with its effect."""
    with session.desk(args, write=args.signs) as desk:
        return _curve(desk, args) if args.curve else _signs(desk, args)


def _curve(desk: Desk, args: Namespace) -> int:
    steps = trying.curve(desk)
    if args.json:
        for step in steps:
            out.record({"chance": str(step.chance), "bargains": step.bargains, "sold": step.sold, "below": step.under})
        return out.DONE
    rows = [("chance", "bargains", "sold", "below median")]
    rows += [(str(step.chance), str(step.bargains), str(step.sold), str(step.under)) for step in steps]
    out.data(f"Lots of the last {trying.CURVE_DAYS} days; bargain_chance is {desk.settings.prices.bargain_chance}:")
    for line in table(rows, right=frozenset({0, 1, 2, 3})):
        out.data(line)
    return out.DONE


def _signs(desk: Desk, args: Namespace) -> int:
    path = Path(desk.shelf.path) / OWN
    if not path.exists():
        path.write_bytes(resources.files("watchlist.words").joinpath(OWN).read_bytes())
        out.talk(f"{path} written: the table in use, to change. Then again: `watchlist marks --signs`.")
        return out.DONE
    try:
        text = path.read_text("utf-8-sig")
    except (OSError, UnicodeDecodeError) as error:
        raise DeskError(f"{path} cannot be read: {error}. The old table stays in use.") from error
    found = trying.effect(desk, trying.read_table(desk, text))
    out.data(f"{len(found.turned)} of {found.lots} lots of the last {trying.EFFECT_DAYS} days would change their mark.")
    for (now, then), number in found.by_kind.most_common():
        out.data(f"  {number} from {MARK_WORDS[now]} to {MARK_WORDS[then]}")
    for key, title, now, then in found.turned[:SHOWN]:
        out.data(cut(f"  {key}: {clean(title)}; {MARK_WORDS[now]} to {MARK_WORDS[then]}", session.width()))
    if args.keep:
        trying.keep_table(desk, text)
        settle(desk, MARKS)
        out.talk("Table of signs saved and in use; undo brings the old one back.")
    else:
        out.talk("Nothing was changed. `watchlist marks --signs --keep` uses it.")
    return out.DONE
