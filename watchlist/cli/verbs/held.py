"""watchlist held: the pieces one holds, with cost and value today; lists for an insurer and a tax file."""

from __future__ import annotations

from argparse import Namespace
from collections.abc import Sequence
from functools import partial

from watchlist.cli import out, session
from watchlist.cli.parser import Parser, replace_option
from watchlist.core.held.piece import Piece
from watchlist.core.held.series import Complete
from watchlist.core.money.amount import Money
from watchlist.desk.desk import Desk
from watchlist.desk.files import write_file
from watchlist.desk.held import held_lists
from watchlist.desk.held.held import beside, cost_lines, held, notes, sums
from watchlist.desk.held.series import complete
from watchlist.page import series
from watchlist.page.columns import table, wrap
from watchlist.page.export import csv_lines
from watchlist.page.held import cells, whole
from watchlist.page.wording import count

CAUTION = (
    "Values are estimates from past sales, not an appraisal; an insurer usually wants what it takes to replace a "
    "piece. For taxes ask a licensed adviser."
)

COIN = 44
"""Cells of a coin."""
TOLD = 12
"""Notes on pieces that are printed one by one."""


def options(parser: Parser) -> None:
    """What it takes."""
    parser.add_argument("words", metavar="WORD", nargs="*", help="words of the coin, venue or state")
    parser.add_argument("--all", action="store_true", help="those returned and sold too")
    parser.add_argument("--duplicates", action="store_true", help="only issues of which more than one piece is held")
    parser.add_argument("--insurance", default="", metavar="FILE.csv", help="a list for an insurer, without costs")
    parser.add_argument("--with-cost", action="store_true", help="with --insurance: what each piece cost too")
    parser.add_argument("--with-place", action="store_true", help="with --insurance: where each piece is stored too")
    parser.add_argument("--purchases", default="", metavar="FILE.csv", help="purchases and sales for a tax file")
    parser.add_argument(
        "--series", default="", metavar="WORDS", help="how complete a series is, and what would fill it"
    )
    parser.add_argument("--grade", default="", metavar="G", help="with --series: the grade that counts")
    replace_option(parser)


def run(args: Namespace) -> int:
    """List the pieces, or write a list of them."""
    with session.desk(args, write=False) as desk:
        if args.series:
            _complete(complete(desk, args.series, args.grade), as_json=args.json)
            return out.DONE
        pieces = [each for each in held(desk) if _matches(each, args.words)]
        if args.insurance or args.purchases:
            _files(desk, args, pieces)
        else:
            words = frozenset(map(str.casefold, args.words))
            here = [each for each in pieces if each.stock_no.casefold() in words or _asked_for(each, args)]
            _list(desk, here, words, as_json=args.json)
    return out.DONE


def _complete(shown: Complete, *, as_json: bool) -> None:
    if not as_json:
        for line in wrap(f"{series.head(shown)}.", session.width()):
            out.data(line)
        for line in series.lines(shown, session.width()):
            out.data(line)
        return
    for each in shown.missing:
        way, value = each.way, each.value
        out.record(
            {
                "coin": each.coin,
                "grade": shown.grade,
                "finest": each.finest,
                "why": each.why or None,
                "value": Money(value.mid, value.currency).json() if value else None,
                "way": way and {
                    "lot": way.lot, "venue": way.venue, "act": way.act, "price": way.price.json(),
                    "worst": way.worst.json(), "chance": round(way.chance, 3),
                },
            }
        )  # fmt: skip


def _asked_for(each: Piece, args: Namespace) -> bool:
    if args.duplicates:
        return bool(each.duplicates) and not each.course.gone
    return args.all or not each.course.gone


def _list(desk: Desk, here: Sequence[Piece], words: frozenset[str], *, as_json: bool) -> None:
    if as_json:
        for each in here:
            out.record(_record(desk, each))
    elif len(here) == 1 and here[0].stock_no.casefold() in words:
        _whole(desk, here[0])
    elif here:
        for line in _lines(desk, here, session.width()):
            out.data(line)
    elif words:
        out.talk(f"No piece held matches `{' '.join(sorted(words))}`. `watchlist held --all` lists all.")
    else:
        out.talk("No piece is held: `watchlist result KEY PRICE --won` says that a lot was won.")


def _whole(desk: Desk, each: Piece) -> None:
    every = held(desk)
    for line in whole(each, beside(each, every, cost_lines(desk, every)), desk.home, session.width()):
        out.data(line)


def _matches(each: Piece, words: Sequence[str]) -> bool:
    text = f"{each.stock_no} {each.key} {each.coin} {each.won.lot.venue} {each.state} {each.won.lot.title}".casefold()
    return all(word.casefold() in text for word in words)


def _files(desk: Desk, args: Namespace, pieces: Sequence[Piece]) -> None:
    for name, made in (
        (args.insurance, partial(held_lists.insurance, with_cost=args.with_cost, with_place=args.with_place)),
        (args.purchases, held_lists.purchases),
    ):
        if name:
            columns, rows = made(desk, pieces)
            path = write_file(name, csv_lines(columns, rows), replace=args.replace)
            out.talk(f"{path}: {count(len(rows), 'piece')}.")
    out.talk(CAUTION)


def _record(desk: Desk, each: Piece) -> dict[str, object]:
    worth, gain = each.value, each.gain
    return {
        "key": each.key,
        "stock_no": each.stock_no,
        "coin": each.coin,
        "issue": each.issue or None,
        "state": each.state,
        "cost": Money(each.cost, desk.home).json() if each.cost is not None else None,
        "cost_basis": each.cost_basis,
        "lost": f"{each.lost:.2f}" if each.course.returned else None,
        "today": {"amount": f"{worth.mid:.2f}", "currency": worth.currency} if worth else None,
        "gain": f"{gain:.2f}" if gain is not None else None,
        "duplicates": each.duplicates,
        "cert_number": each.reading.cert_number or None,
        "note": each.course.note or None,
        "place": each.course.place or None,
        "reserve": each.course.reserve.json() if each.course.reserve else None,
        "pictures": list(each.course.pictures),
        "provenance": [{"what": link.what, "when": link.when or None} for link in each.course.chain],
        "bought_on": each.bought.isoformat() if each.bought else None,
        "parcel": each.parcel.id if each.parcel else None,
    }


def _lines(desk: Desk, here: Sequence[Piece], wide: int) -> list[str]:
    heads = ("no", "coin", "bought", "cost", "today", "gain", "state")
    rows = [heads, *(cells(each, COIN) for each in here)]
    text = table(rows, right=frozenset({3, 4, 5}), width=wide, give=(1,))
    cost, worth = sums(here, desk.home)
    unknown = sum(each.cost is None for each in here if not each.course.gone)
    but = f", {unknown} of unknown cost," if unknown else ""
    told = list(notes(desk, here))
    more = [f"And {len(told) - TOLD} more such notes"] if len(told) > TOLD else []
    odd = [line for note in (*told[:TOLD], *more) for line in wrap(f"{note}.", wide, indent="    ")]
    number = count(sum(not each.course.gone for each in here), "piece")
    return [
        *text,
        "",
        *odd,
        *wrap(
            f"{number[:1].upper()}{number[1:]} held: cost {cost} all in{but or ','} worth {worth} today. {CAUTION}",
            wide,
        ),
    ]
