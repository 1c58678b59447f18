"""watchlist bench: a piece in the hand against what it should weigh, measure and be made of."""

from __future__ import annotations

from argparse import Namespace
from collections.abc import Mapping

from watchlist.cli import out, session
from watchlist.cli.parser import Parser, replace_option
from watchlist.core.bench.measurements import FIELDS
from watchlist.core.typed.words import grade_range
from watchlist.desk.desk import Desk
from watchlist.desk.errors import DeskError, refusing
from watchlist.desk.files import write_file
from watchlist.desk.held import bench, outcomes
from watchlist.desk.held.bench import Subject
from watchlist.page import bench as page
from watchlist.page.drawing import ASCII

HELP = {
    "weight": "grams in air, or `372 gr`, `15.5 dwt`, `0.86 ozt`; several readings in one text are averaged",
    "dry": "grams in air beside --wet; without it --weight is taken",
    "wet": "grams hung in water",
    "water": "the water's temperature, 20 C or 68 F (20 C)",
    "readability": "the scale's smallest step in grams (0.01)",
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
    parser.add_argument(
        "piece",
        metavar="KEY|S-014|COIN",
        nargs="+",
        help="a lot's key or the end of it, a piece's stock number, or a coin",
    )
    parser.add_argument("--grade", default="", metavar="G", help="number or word; without it the lot's own")
    for name in FIELDS:
        parser.add_argument(f"--{name}", default="", metavar=name[:1].upper(), help=HELP[name])
    parser.add_argument("--reference", action="store_true", help="keep it as a piece known to be genuine")
    parser.add_argument("--dry-run", action="store_true", help="say what it tells and save nothing")
    parser.add_argument("--kept", action="store_true", help="the checks of this piece that were saved, oldest first")
    parser.add_argument("--html", default="", metavar="FILE", help="write the report as one HTML page")
    replace_option(parser)


def run(args: Namespace) -> int:
    """Check one piece and keep what was measured; without a measurement say what to check."""
    typed = {name: getattr(args, name) for name in FIELDS if getattr(args, name).strip()}
    keeps = bool(typed) and not (args.dry_run or args.kept)
    with session.desk(args, write=keeps) as desk:
        piece = bench.subject(desk, " ".join(args.piece), _grade(desk, args.grade))
        return _show_kept(args, desk, piece) if args.kept else _check(args, desk, piece, typed, keeps=keeps)


def _check(args: Namespace, desk: Desk, piece: Subject, typed: Mapping[str, str], *, keeps: bool) -> int:
    """Say what the measurements tell; keep them."""
    table = bench.Bench(desk, piece)
    found = table.look(typed)
    if args.html:
        page_file = write_file(args.html, table.page(typed, found, desk.now), replace=args.replace)
        out.talk(f"{page_file}: the report as a page.")
    asked = outcomes.question(desk, piece.lot) if keeps else ""
    if keeps:
        bench.keep(desk, table, typed, found, reference=args.reference)
    if args.json:
        out.record({"issue": piece.issue.key, "lot": piece.lot or None, **page.to_json(found)})
        return out.DONE
    wide = session.width()
    for line in (
        table.report(found, wide, desk.drawing or ASCII) if typed else [f"{piece.issue.name}.", *table.advice(wide)]
    ):
        out.data(line)
    if keeps:
        place = "with the lot" if piece.lot else "with the coin"
        what = "as a genuine piece to compare others with" if args.reference else place
        out.talk(f"Saved {what}; `watchlist undo` takes it back, `watchlist bench ... --kept` shows it again.")
    if asked:
        words = f"`watchlist outcome {asked} {'|'.join(outcomes.WORDS)}|GRADE`"
        out.talk(f"What did {asked} prove to be? Once you know, {words} records it, and its seller learns. Asked once.")
    return out.DONE


def _show_kept(args: Namespace, desk: Desk, piece: Subject) -> int:
    """The reports that were kept with a piece; the page is that of the newest."""
    found = bench.kept_of(desk, piece)
    if not found:
        raise DeskError(f"No check of {piece.lot or piece.issue.name} is saved.")
    for each in found:
        if args.json:
            row = {"at": each.at.isoformat(), "typed": dict(each.typed), "reference": each.reference}
            out.record({"issue": each.issue, "lot": each.lot or None, **row})
            continue
        out.data(f"Checked {_when(desk, each)}{', a genuine piece' if each.reference else ''}:")
        for line in each.report:
            out.data(line)
    if args.html:
        if not found[-1].page:
            raise DeskError("This check was saved without a page. Check the piece again with --html FILE.")
        out.talk(f"{write_file(args.html, found[-1].page, replace=args.replace)}: the newest report as a page.")
    return out.DONE


def _grade(desk: Desk, text: str) -> int | None:
    if not text:
        return None
    with refusing("Nothing was stored."):
        return grade_range(text, desk.words)[0]


def _when(desk: Desk, kept: bench.Kept) -> str:
    return f"{kept.at.astimezone(desk.settings.home.zone):%Y-%m-%d %H:%M}"
