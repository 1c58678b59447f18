"""watchlist parcel: which lots travel together, and what each parcel costs line by line."""

from __future__ import annotations

from argparse import Namespace
from collections.abc import Iterator
from typing import Any

from watchlist.cli import out, session
from watchlist.cli.parser import Parser
from watchlist.desk import parcels
from watchlist.desk.desk import Desk
from watchlist.desk.errors import DeskError
from watchlist.desk.naming import short_key
from watchlist.desk.parcels import ParcelLot, ParcelShown
from watchlist.page.columns import cut, table, wrap
from watchlist.page.wording import money

ACTS = ("join", "part")
LATER: dict[str, Any] = dict.fromkeys(("invoiced", "paid", "owed", "due", "return_by"))
"""What is not known of a parcel before its invoice."""
LINES = {
    "hammer": "Hammer",
    "premium": "Premium",
    "internet_surcharge": "Internet fee",
    "vat_on_fees": "VAT on fees",
    "vat_on_hammer": "VAT on hammer",
    "vat_on_imported": "VAT on imported lots",
    "shipping": "Postage",
    "insurance": "Insurance",
    "sales_tax": "Sales tax",
    "duty": "Duty",
    "import_vat": "Import VAT",
    "handling_fixed": "Handling",
    "total_sale_currency": "Subtotal",
    "converted": "Subtotal in home currency",
    "card_fee": "Card fee on the sum in home currency",
    "payment_fee": "Fee for the payment",
    "all_in": "All in",
}
"""The lines of a cost in words."""


def options(parser: Parser) -> None:
    """What it takes."""
    parser.add_argument("parcel", metavar="P12", nargs="?", default="", help="one parcel; else all")
    parser.add_argument("act", metavar="ACT", nargs="?", default="", choices=("", *ACTS), help="join or part")
    parser.add_argument("key", metavar="KEY", nargs="?", default="", help="the lot that is put in or taken out")


def run(args: Namespace) -> int:
    """All parcels, one of them, or a lot put in or taken out by hand."""
    with session.desk(args, write=bool(args.act)) as desk:
        if args.act:
            out.talk(f"{_changed(desk, args)}.")
            return out.DONE
        shown = [parcels.parcel(desk, args.parcel)] if args.parcel else list(parcels.parcels(desk))
        if args.json:
            for each in shown:
                out.record(_record(each))
        elif shown:
            for line in _lines(desk, shown, bool(args.parcel), session.width()):
                out.data(line)
        else:
            out.talk("No parcels yet: a bid or a win makes one. `watchlist decide KEY bid` plans a bid.")
    return out.DONE


def _changed(desk: Desk, args: Namespace) -> str:
    if not args.key:
        raise DeskError(f"Name the lot: `watchlist parcel {args.parcel} {args.act} KEY`. Nothing was changed.")
    if args.act == "join":
        return parcels.join(desk, args.parcel, args.key)
    return parcels.part(desk, args.key, args.parcel)


def _record(each: ParcelShown) -> dict[str, Any]:
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
        **LATER,
        "shares": None,
        "notes": list(each.notes),
    }


def _lines(desk: Desk, shown: list[ParcelShown], whole: bool, wide: int) -> Iterator[str]:
    for each in shown:
        cost = f"{each.calculated} all in if all win" if each.calculated else "cost unknown"
        saved = (
            f", {each.saved} less than each alone" if each.saved and each.saved.amount > 0 and not each.assumed else ""
        )
        sale = f", {each.sale}" if each.sale else ""
        yield from wrap(f"{each.id}  {each.venue}{sale}: {cost}{saved} ({each.state})", wide, indent="    ")
        heads = ("  lot", "price", "alone", "shared", "before postage", "stage")
        rows = [heads, *(_row(desk, lot) for lot in each.lots)]
        yield from table(rows, right=frozenset({1, 2, 3, 4}), width=wide, give=(0,))
        if whole:
            yield ""
            told = [(LINES.get(name, name), str(amount)) for name, amount in each.lines]
            yield from table(told, right=frozenset({1}), width=wide, give=(0,))
        for note in each.notes:
            yield from wrap(f"  {note[:1].upper()}{note[1:]}.", wide, indent="    ")
        yield ""


def _row(desk: Desk, lot: ParcelLot) -> tuple[str, ...]:
    three = (money(each) if each else "" for each in (lot.alone, lot.shared, lot.before))
    return (f"  {short_key(desk.shelf.store, lot.key)}  {cut(lot.title, 40)}", money(lot.price), *three, lot.stage)
