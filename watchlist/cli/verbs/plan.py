"""watchlist plan: which bids to leave inside the budget; either-or groups, budgets with dates, sums set aside."""

from __future__ import annotations

from argparse import Namespace
from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import date

from watchlist.cli import out, session
from watchlist.cli.parser import Parser
from watchlist.core.money.amount import Money
from watchlist.desk.desk import Desk
from watchlist.desk.errors import DeskError
from watchlist.desk.naming import short_key
from watchlist.desk.plan import season
from watchlist.desk.plan.plan import Mode, PlanShown, plan, take, what_if_rows
from watchlist.desk.plan.season import BudgetLine
from watchlist.page.bids import fitted
from watchlist.page.columns import table, wrap
from watchlist.page.lists import measured
from watchlist.page.plan import COIN, COLUMNS, LOT, PlannedBid, lines_in_cells, signs_of
from watchlist.page.records import told
from watchlist.page.wording import CAUTION_BIDS, count

ACTS = ("group", "budget", "set-aside")
BID = {
    "key": "key", "title": "title", "venue": "venue", "closes": "closes", "group": "group", "parcel": "parcel",
    "bid": "bid", "limit": "limit", "shared": "worst", "alone": "alone", "chance": "chance", "saving": "saving",
    "likely": "likely", "left": "left", "notes": "notes",
}  # fmt: skip
"""A bid of a plan as docs/formats.md has it, and where its record holds it."""
BUDGET = {
    "budget": "name", "first": "first", "last": "last", "amount": "amount", "paid": "paid", "owed": "owed",
    "placed": "placed", "undecided": "undecided", "planned": "planned", "set_aside": "aside", "left": "left",
}  # fmt: skip


def options(parser: Parser) -> None:
    """What it takes."""
    parser.add_argument("act", metavar="ACT", nargs="?", choices=ACTS, help="group, budget or set-aside; else the plan")
    parser.add_argument("words", metavar="WORD", nargs="*", default=[], help="a name, then lots or an amount")
    mode = parser.add_mutually_exclusive_group()
    mode.add_argument(
        "--standing", action="store_true", help="bids placed before the sales; nobody attends (the default)"
    )
    mode.add_argument("--attended", action="store_true", help="bids for one who attends, lower while later lots wait")
    parser.add_argument("--until", metavar="D", default="", help="lots that close by this day; or until when set aside")
    parser.add_argument("--what-if", action="store_true", help="also with budget and ceilings at -10 and +10 per cent")
    parser.add_argument("--shared", action="store_true", help="bids that count on another lot of the parcel being won")
    parser.add_argument(
        "--take", action="store_true", help="record the bids of the plan: planned, nothing is sent; one undo"
    )
    parser.add_argument("--anyway", action="store_true", help="record them even if terms are old or assumed")
    parser.add_argument("--need", metavar="N", nargs="+", default=["1"], help="how many lots of a group are needed")
    parser.add_argument("--from", dest="first", metavar="D", default="", help="first day of a budget")
    parser.add_argument("--to", dest="last", metavar="D", default="", help="last day of a budget")
    parser.add_argument("--for", dest="what", metavar="TEXT", default="", help="what a sum is set aside for")
    parser.add_argument("--drop", action="store_true", help="remove the group, the budget or the sum set aside")


def run(args: Namespace) -> int:
    """A plan, or one act on groups, budgets and sums set aside."""
    if args.act:
        return _act(args)
    with session.desk(args, write=args.take) as desk:
        mode: Mode = "attended" if args.attended else "standing"
        shown = plan(desk, mode, _day(args.until, "until"), what_if=args.what_if, shared=args.shared)
        if args.json:
            _record(shown)
        else:
            for line in _lines(desk, shown, session.width()):
                out.data(line)
        if args.take:
            done = take(desk, shown, anyway=args.anyway)
            for warning in done.warnings:
                out.talk(f"Warning: {warning}.")
            out.talk(f"{done.said}. `watchlist undo` takes it back.")
    return out.DONE


def _act(args: Namespace) -> int:
    """Groups, budgets or sums set aside: listed without words, else one is kept or dropped."""
    with session.desk(args, write=bool(args.words)) as desk:
        if args.words:
            out.talk(f"{_changed(desk, args)}.")
        elif args.json:
            for line in season.budgets(desk):
                out.record(told(line, BUDGET))
        else:
            for text in _listed(desk, args.act):
                out.data(text)
    return out.DONE


def _changed(desk: Desk, args: Namespace) -> str:
    first, *rest = args.words
    if args.drop:
        return season.drop(desk, args.act, first)
    if args.act == "group":
        number, *more = args.need  # lots may stand behind the number, too
        return season.put_group(desk, first, _count(number), [*rest, *more])
    if args.act == "set-aside":
        until = _day(args.until, "until")
        if until is None or not args.what or rest:
            raise DeskError(
                "A sum is set aside like this: `watchlist plan set-aside 400 --for TEXT --until 2026-06-30`."
            )
        return season.put_aside(desk, first, args.what, until)
    start, end = _day(args.first, "from"), _day(args.last, "to")
    if start is None or end is None or len(rest) != 1:
        raise DeskError(
            "A budget is saved like this: `watchlist plan budget March 900 --from 2026-03-01 --to 2026-03-31`."
        )
    return season.put_budget(desk, first, rest[0], start, end)


def _count(text: str) -> int:
    if not text.isascii() or not text.isdecimal():
        raise DeskError(f"--need takes a whole number, such as 1, not `{text}`. Nothing was changed.")
    return int(text)


def _day(text: str, option: str) -> date | None:
    try:
        return date.fromisoformat(text) if text else None
    except ValueError:
        raise DeskError(f"--{option} takes a day, such as 2026-03-31, not `{text}`. Nothing was changed.") from None


def _listed(desk: Desk, act: str) -> Iterator[str]:
    if act == "group":
        for group in season.groups(desk):
            yield f"{group.id}  {group.need} of {', '.join(short_key(desk.shelf.store, key) for key in group.lots)}"
    elif act == "set-aside":
        for aside in season.asides(desk):
            yield f"{aside.id}  {Money(aside.amount, desk.home)} for {aside.what}, until {aside.until}"
    else:
        yield from season_lines(season.budgets(desk), session.width())


def season_lines(budgets: tuple[BudgetLine, ...], wide: int) -> list[str]:
    """The season view: what every budget holds, and what is left."""
    heads = ("budget", "days", "amount", "paid", "owed", "placed", "undecided", "planned", "set aside", "left")
    rows = [heads]
    for each in budgets:
        days = f"{each.first} to {each.last}" if each.first else "about a week"
        sums = (each.amount, each.paid, each.owed, each.placed, each.undecided, each.planned, each.aside, each.left)
        rows.append((each.name, days, *(f"{amount.amount:,.2f}" for amount in sums)))  # type: ignore[arg-type]
    return table(rows, right=frozenset(range(2, 10)), width=wide, give=(0,))


def _record(shown: PlanShown) -> None:
    out.record(
        {
            "mode": shown.mode,
            "until": shown.until.isoformat() if shown.until else None,
            "budget": shown.amount.json(),
            "left": shown.left.json(),
            "bids": [told(bid, BID) for bid in shown.bids],
            "waiting": [told(bid, BID) for bid in shown.waiting],
            "worst": shown.worst.json(),
            "pieces": round(shown.pieces, 2),
            "spending": shown.spending.json(),
            "saving": shown.saving.json(),
            "fixed": {name: cost.json() for name, cost in shown.fixed},
            "what_if": [
                {
                    "label": each.label,
                    "bids": each.bids,
                    "worst": each.worst.json(),
                    "pieces": round(each.pieces, 2),
                    "spending": each.spending.json(),
                    "saving": each.saving.json(),
                }
                for each in shown.what_if
            ],
            "notes": list(shown.notes),
        }
    )


def _lines(desk: Desk, shown: PlanShown, wide: int) -> Iterator[str]:
    yield from _table(desk, shown.bids, wide) if shown.bids else ()
    for bid in (*shown.bids, *shown.waiting):
        for note in bid.notes:
            yield from wrap(f"  {short_key(desk.shelf.store, bid.key)}: {note}.", wide, indent="    ")
    yield ""
    yield from wrap(_foot(shown), wide)
    for name, cost in shown.fixed:
        yield from wrap(f"  {name}: {cost} more, once, for the first of its lots that is won.", wide, indent="    ")
    for note in shown.notes:
        yield from wrap(f"{note[:1].upper()}{note[1:]}.", wide)
    if shown.what_if:
        yield ""
        yield from table(what_if_rows(shown), right=frozenset({1, 2, 3, 4, 5}), width=wide, give=(0,))
    if shown.passed:
        yield from wrap(f"{len(shown.passed)} wanted lots passed over:", wide)
        for key, title, why in shown.passed:
            yield from wrap(f"  {short_key(desk.shelf.store, key)} {title}: {why}.", wide, indent="    ")
    signs = "".join(f"{sign}. " for sign in signs_of(shown.bids))
    yield from wrap(f"{signs}{CAUTION_BIDS}", wide)


def _foot(shown: PlanShown) -> str:
    if not shown.bids:
        return "No bid to leave."
    bids = count(len(shown.bids), "bid")
    expected = f"expected: {shown.pieces:.1f} pieces for {shown.spending}, {shown.saving} under your ceilings, all in"
    if shown.mode == "attended":
        return f"{bids} as things stand, {shown.amount} left; {expected}. Plan again after each result."
    return f"{bids}, up to {shown.worst} of {shown.amount} all in if all win; {expected}."


def _table(desk: Desk, bids: Sequence[PlannedBid], wide: int) -> Iterator[str]:
    """The bids in columns, each by the end of its key that names it; a coin that is too long runs on below."""
    keyed = [replace(bid, number=short_key(desk.shelf.store, bid.key)) for bid in bids]
    rows = list(lines_in_cells(keyed, (), desk.home, desk.settings.home.zone, desk.local_today()))
    columns = fitted(measured(COLUMNS, rows), wide, COIN)
    yield columns.head().rstrip()
    yield from (text.rstrip() for row in rows for text in columns.wrapped(row, (LOT, COIN)))
