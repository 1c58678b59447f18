"""watchlist lots: the lots that a sift lets through."""

from __future__ import annotations

from argparse import Namespace

from watchlist.cli import out, session
from watchlist.cli.amending import amend_lots, amends_lots, lot_options
from watchlist.cli.parser import Parser, WrongUse
from watchlist.core.clean import clean
from watchlist.core.marks.record import SIGNS
from watchlist.core.sift.line import Sift, parse
from watchlist.desk.desk import Desk
from watchlist.desk.lists import listing
from watchlist.desk.own_files.exports import LOTS
from watchlist.page import lot, wording
from watchlist.page.coins import coin_cell
from watchlist.page.columns import cells, pad, wrap
from watchlist.page.export import csv_lines
from watchlist.page.legend import whole
from watchlist.page.records import told
from watchlist.page.rows import STATES, short_grades
from watchlist.shelf.store.rows import LotLine


def options(parser: Parser) -> None:
    """What it takes."""
    parser.add_argument(
        "sift",
        metavar="FILTER",
        nargs="*",
        help="words of the title and fields, such as `mark:b gap<-10 closes<2d not toned`",
    )
    form = parser.add_mutually_exclusive_group()
    form.add_argument("--csv", action="store_true", help="a table for a spreadsheet")
    form.add_argument("--plain", action="store_true", help="a sentence or two per lot, no columns")
    parser.add_argument("--any", action="store_true", help="exit with code 5 when nothing matches")
    lot_options(parser)


def run(args: Namespace) -> int:
    """List lots, as a table, as sentences, as CSV or as JSON."""
    if args.json and (args.csv or args.plain):
        raise WrongUse("--json, --csv and --plain are three forms of one list; choose one")
    if amends_lots(args):
        return _amend(args)
    wanted = parse(" ".join(args.sift))
    with session.desk(args, write=False) as desk:
        shown = _json(desk, wanted) if args.json else _csv(desk, wanted) if args.csv else _list(args, desk, wanted)
        if not shown and not args.json and not args.csv:
            out.talk(_empty(desk, str(wanted)))
        elif not (args.json or args.csv or args.plain):
            for line in wrap(f"Marks: {whole()}", session.width()):
                out.talk(line)
    return out.NOTHING_MATCHED if args.any and not shown else out.DONE


def _amend(args: Namespace) -> int:
    """Change the lot of a key, or those of a sift, which must say which: all is too many to mean."""
    text = " ".join(args.sift)
    if not text.strip():
        raise WrongUse("say which lots, such as `watchlist lots source:NAME --delete`; nothing was changed")
    with session.desk(args, write=True) as desk:
        found = desk.shelf.store.lots.find(text, 2) if " " not in text else []
        keys = found if len(found) == 1 else [line.key for line in listing.lines(desk, parse(text))]
        amend_lots(desk, keys, args)
    return out.DONE


def _empty(desk: Desk, sift: str) -> str:
    if not desk.shelf.store.listing.count():
        return "No lots yet. `watchlist source add` names a source, `watchlist gather` reads it."
    found = desk.shelf.store.lots.find(sift, 2) if sift and " " not in sift else []
    if found:  # a sift looks in titles; a key names one lot
        return f"No title has `{sift}`, but it is the key of a lot: `watchlist lot {sift}` shows it."
    return f"Nothing matches `{sift}`." if sift else "No lots."


def _json(desk: Desk, wanted: Sift) -> int:
    shown = 0
    for row in listing.whole(desk, listing.lines(desk, wanted)):
        out.record(listing.to_json(row))
        shown += 1
    return shown


def _list(args: Namespace, desk: Desk, wanted: Sift) -> int:
    shown = 0
    wide = session.width()
    for line in listing.lines(desk, wanted):
        if not args.plain:
            if not shown:
                out.data(
                    _columns(("", "", "closes", "coin", "grade", f"all in {desk.home}", "gap", "title", "key"), wide)
                )
            out.data(list_line(desk, line, wide))
        elif (row := desk.shelf.store.lots.get(line.key)) and row.judgement:
            zone = desk.settings.home.time_zone
            out.data(
                lot.plain_line(
                    row.lot, row.judgement, desk.now, zone, desk.local_today(), raw=not row.reading.certified
                )
            )
        shown += 1
    return shown


def list_line(desk: Desk, line: LotLine, wide: int) -> str:
    """One line of the list: mark, state, time left, the coin as it was read, grade, cost, gap, title, key."""
    left = wording.time_left(line.closes, desk.now) or ("fixed" if line.kind == "fixed" else "")
    cost = f"{line.all_in:,.0f}" if line.all_in is not None else ""
    gap = wording.gap_cell(line.gap)
    grade = short_grades(line.grade_low, line.grade_high, details=line.details)
    state = STATES.get(line.state, "")
    sign = SIGNS[line.mark] if line.mark else " "
    key = clean(key_end(line.key, wide))
    return _columns((sign, state, left, _coin(desk, line, wide), grade, cost, gap, clean(line.title), key), wide)


def _coin(desk: Desk, line: LotLine, wide: int) -> str:
    """The coin as it was read; where no issue was found, as far as its title says."""
    issue = desk.catalogue.by_key.get(line.issue)
    row = None if issue else desk.shelf.store.lots.get(line.key)
    return clean(coin_cell(issue, row.reading if row else None, _coin_room(wide)))


def _coin_room(wide: int) -> int:
    return 18 if wide < 100 else 20


def key_end(key: str, wide: int) -> str:
    """A key as a column has room for: whole, or from its last mark on; two that end alike are told apart when asked."""
    return key if cells(key) <= _key_room(wide) else key[max(map(key.rfind, ":,/#=")) + 1 :] or key


def _key_room(wide: int) -> int:
    return 16 if wide < 100 else 22


def _columns(cells: tuple[str, ...], wide: int) -> str:
    """The title gives way: the coin, its grade and its cost are whole."""
    mark, state, left, coin, grade, cost, gap, title, key = cells
    line = f"{pad(mark, 1)}{pad(state, 1)} {pad(left, 7, right=True)}  {pad(coin, _coin_room(wide))}  {pad(grade, 11)}"
    line += f" {pad(cost, 10, right=True)} {pad(gap, 6, right=True)}  "
    room = wide - len(line) - _key_room(wide) - 2
    return f"{line}{pad(title, room)}  {key}" if room >= LEAST else line + key


LEAST = 6
"""Cells under which a title says nothing."""


def _csv(desk: Desk, wanted: Sift) -> int:
    rows = listing.whole(desk, listing.lines(desk, wanted))
    shown = -1  # the headings are no lot
    for line in csv_lines(tuple(LOTS), (told(row, LOTS) for row in rows)):
        out.data(line)
        shown += 1
    return shown
