"""watchlist parcel: which lots travel together, and what each parcel costs line by line."""

from __future__ import annotations

from argparse import Namespace
from collections.abc import Iterator
from typing import Any

from watchlist.cli import out, session
from watchlist.cli.parser import Parser
from watchlist.cli.verbs.decide import carry_out, on_day
from watchlist.core.held.course import ParcelCourse
from watchlist.core.held.deadlines import deadlines
from watchlist.core.held.parcel import ParcelLot, ParcelShown
from watchlist.core.money.amount import Money
from watchlist.desk.desk import Desk
from watchlist.desk.errors import DeskError
from watchlist.desk.held import arrivals, parcels, unspoken
from watchlist.desk.held.held import held
from watchlist.desk.naming import short_key
from watchlist.desk.recording import Decided
from watchlist.page.columns import cut, table, wrap
from watchlist.page.lot import cost_word
from watchlist.page.parcels import since, summary
from watchlist.page.wording import money

ACTS = ("join", "part", *arrivals.ACTS)


def options(parser: Parser) -> None:
    """What it takes."""
    parser.add_argument("parcel", metavar="P12", nargs="?", default="", help="one parcel; else all")
    parser.add_argument("act", metavar="ACT", nargs="?", default="", choices=("", *ACTS), help=", ".join(ACTS))
    parser.add_argument("key", metavar="KEY|SUM", nargs="?", default="", help="the lot, or the sum; by-price, by-piece")
    for name in arrivals.STATED:
        what = arrivals.STATED_WORDS.get(name, name)
        parser.add_argument(f"--{name}", default="", metavar="SUM", help=f"{what} as the invoice states it")
    parser.add_argument("--number", default="", metavar="N", help="the number of the invoice")
    parser.add_argument("--due", default="", metavar="D", help="the last day to pay, as the invoice says")
    parser.add_argument("--settles", default="", metavar="SUM", help="how much of an invoice a payment settles")
    on_day(parser)
    parser.add_argument("--anyway", action="store_true", help="record it in spite of the warning")


def run(args: Namespace) -> int:
    """All parcels, one of them, or a lot put in or taken out by hand."""
    if args.act in arrivals.ACTS:
        return carry_out(args, lambda desk: _happened(desk, args))
    with session.desk(args, write=bool(args.act)) as desk:
        if args.act:
            out.talk(f"{_changed(desk, args)}.")
            return out.DONE
        shown = [parcels.parcel(desk, args.parcel)] if args.parcel else list(parcels.parcels(desk))
        if args.json:
            for each in shown:
                out.record(_record(desk, each))
        elif shown:
            for line in _lines(desk, shown, bool(args.parcel), session.width()):
                out.data(line)
            if not args.parcel and (wins := unspoken.told(desk)):
                out.talk(f"{wins}.")
        else:
            out.talk("No parcels yet: a bid or a win makes one. `watchlist decide KEY bid` plans a bid.")
    return out.DONE


def _happened(desk: Desk, args: Namespace) -> Decided:
    """What was said of a parcel since the hammer."""
    stated = {name: text for name in arrivals.STATED if (text := getattr(args, name))}
    said = arrivals.Said(args.act, args.key, args.on, stated, args.number, args.due, args.settles)
    return arrivals.say(desk, args.parcel, said, anyway=args.anyway)


def _changed(desk: Desk, args: Namespace) -> str:
    if not args.key:
        raise DeskError(f"Name the lot: `watchlist parcel {args.parcel} {args.act} KEY`. Nothing was changed.")
    if args.act == "join":
        return parcels.join(desk, args.parcel, args.key)
    return parcels.part(desk, args.key, args.parcel)


def _record(desk: Desk, each: ParcelShown) -> dict[str, Any]:
    return {
        "parcel": each.id,
        "venue": each.venue,
        "sale": each.sale,
        "lots": [
            {
                "key": lot.key,
                "stage": lot.stage,
                "price": lot.price.json(),
                "alone": lot.alone.json() if lot.alone else None,
                "shared": lot.shared.json() if lot.shared else None,
                "before_postage": lot.before.json() if lot.before else None,
            }
            for lot in each.lots
        ],
        "state": each.state,
        "assumed": each.assumed,
        "calculated": each.calculated.json() if each.calculated else None,
        "lines": {name: amount.json() for name, amount in each.lines},
        **_course(desk, each),
        "notes": list(each.notes),
    }


def _course(desk: Desk, each: ParcelShown) -> dict[str, Any]:
    """What is known of a parcel since its invoice."""
    course = each.course or ParcelCourse(each.id)
    found = deadlines(course, desk.terms.get(each.venue), waits=each.waits)
    days = {last.kind: last.day.isoformat() for last in found}
    parts = {piece.key: f"{piece.share:.2f}" for piece in held(desk, course.lots)}
    return {
        "invoiced": course.invoiced.json() if course.invoiced else None,
        "paid": Money(course.paid, desk.home).json() if course.payments else None,
        "owed": course.owed.json() if course.owed else None,
        "due": days.get("pay"),
        "return_by": days.get("return"),
        "report_by": days.get("report"),
        "shares": parts or None,
    }


def _lines(desk: Desk, shown: list[ParcelShown], whole: bool, wide: int) -> Iterator[str]:
    for each in shown:
        yield from wrap(summary(each), wide, indent="    ")
        heads = ("  lot", "price", "alone", "shared", "before postage", "stage")
        rows = [heads, *(_row(desk, lot) for lot in each.lots)]
        yield from table(rows, right=frozenset({1, 2, 3, 4}), width=wide, give=(0,))
        if whole:
            yield ""
            told = [(cost_word(name), str(amount)) for name, amount in each.lines]
            yield from table(told, right=frozenset({1}), width=wide, give=(0,))
        for line in since(each, desk.terms.get(each.venue), desk.home, desk.local_today()):
            yield from wrap(f"  {line}.", wide, indent="    ")
        for note in each.notes:
            yield from wrap(f"  {note[:1].upper()}{note[1:]}.", wide, indent="    ")
        yield ""


def _row(desk: Desk, lot: ParcelLot) -> tuple[str, ...]:
    three = (money(each) if each else "" for each in (lot.alone, lot.shared, lot.before))
    return (f"  {short_key(desk.shelf.store, lot.key)}  {cut(lot.title, 40)}", money(lot.price), *three, lot.stage)
