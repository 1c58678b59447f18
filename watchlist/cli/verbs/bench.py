"""watchlist bench: a piece in the hand against what it should weigh, measure and be made of."""

from __future__ import annotations

from argparse import Namespace

from watchlist.cli import out, session
from watchlist.cli.parser import Parser
from watchlist.core.bench.measurements import FIELDS
from watchlist.core.typed.words import grade_range
from watchlist.desk import bench
from watchlist.desk.desk import Desk
from watchlist.desk.errors import refusing
from watchlist.page import bench as page

HELP = {
    "weight": "grams in air, or `372 gr`, `15.5 dwt`, `0.86 ozt`; several readings in one text are averaged",
    "dry": "grams in air beside --wet; without it --weight is taken",
    "wet": "grams hung in water",
    "water": "the water's temperature, 20 C or 68 F (20 C)",
    "readability": "the balance's smallest step in grams (0.01)",
    "diameter": "millimetres, or `1.5 in`",
    "thickness": "millimetres at the rim",
    "magnet": "none, weak or strong",
    "edge": "what the edge shows, in words",
    "axis": "how far the reverse is turned: degrees, 6h, coin or medal",
    "sound": "how it rings, in words",
    "note": "anything else",
    "picture": "paths of pictures, parted by `;`",
}


def options(parser: Parser) -> None:
    """What it takes."""
    parser.add_argument("piece", metavar="KEY|COIN", nargs="+", help="a lot's key or the end of it, or a coin")
    parser.add_argument("--grade", default="", metavar="G", help="number or word; without it the lot's own")
    for name in FIELDS:
        parser.add_argument(f"--{name}", default="", metavar=name[:1].upper(), help=HELP[name])
    parser.add_argument("--reference", action="store_true", help="keep it as a piece known to be genuine")
    parser.add_argument("--dry-run", action="store_true", help="say what it tells and keep nothing")


def run(args: Namespace) -> int:
    """Check one piece and keep what was measured; without a measurement say what to check."""
    typed = {name: getattr(args, name) for name in FIELDS if getattr(args, name).strip()}
    keeps = bool(typed) and not args.dry_run
    with session.desk(args, write=keeps) as desk:
        piece = bench.subject(desk, " ".join(args.piece), _grade(desk, args.grade))
        found, order = bench.look(desk, piece, typed)
        if keeps:
            bench.keep(desk, piece, typed, reference=args.reference)
        if args.json:
            out.record({"issue": piece.issue.key, "lot": piece.lot or None, **page.to_json(found)})
            return out.DONE
        name, wide = piece.issue.name, session.width()
        lines = page.report(name, found, order, wide) if typed else [f"{name}.", *page.advice(order, wide)]
        for line in lines:
            out.data(line)
        if keeps:
            as_what = (
                "as a genuine piece to compare with"
                if args.reference
                else "with the lot"
                if piece.lot
                else "with the coin"
            )
            out.talk(f"Kept {as_what}; `watchlist undo` turns it back.")
    return out.DONE


def _grade(desk: Desk, text: str) -> int | None:
    if not text:
        return None
    with refusing("Nothing was stored."):
        return grade_range(text, desk.words)[0]
