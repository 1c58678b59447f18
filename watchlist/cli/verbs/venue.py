"""watchlist venue add, list, edit, remove."""

from __future__ import annotations

from argparse import Namespace

from watchlist.cli import out, session
from watchlist.cli.changing import change
from watchlist.cli.parser import Parser, acts
from watchlist.core.fees.terms import terms_to_json
from watchlist.desk import naming
from watchlist.desk.desk import Desk
from watchlist.desk.due import MARKET, Due
from watchlist.desk.typed.venues import drop_venue, put_venue
from watchlist.page.terms import describe

DUE = MARKET | Due(scales=True)
"""What a change of terms makes due."""

TERMS: dict[str, str] = {
    "kind": "auction, marketplace, dealer or club",
    "currency": "of its lots, as EUR",
    "premium": "buyer's premium: per cent, or tiers as JSON in the shape that docs/formats.md shows",
    "premium_pct": "buyer's premium, per cent",
    "min_premium": "minimum premium per lot",
    "internet_fee_pct": "fee for bids by internet, per cent of the hammer",
    "vat_on_premium_pct": "VAT on fees, per cent",
    "vat_on_hammer_pct": "VAT on the hammer, per cent",
    "shipping": "postage of one lot; by value of the parcel 0:9.80; 500:15, by grams weight 0:4.50; 100:7",
    "shipping_more": "postage for each further lot of a parcel",
    "insurance_pct": "insurance of the parcel, per cent of hammer and premium",
    "min_insurance": "the least insurance of a parcel",
    "vat_on_imported_pct": "VAT on the hammer of lots marked as imported, per cent",
    "sales_tax_pct": "sales tax, per cent of hammer and premium",
    "sales_tax_from": "no sales tax up to this value of a parcel",
    "tax_on_shipping": "yes: sales tax on the postage too",
    "duty_pct": "customs duty, per cent of hammer and premium",
    "duty_from": "no duty up to this value of a parcel",
    "import_vat_pct": "import VAT, per cent of the value as imported",
    "import_vat_from": "no import VAT up to this value of a parcel",
    "duty_in_import_vat": "yes: import VAT on the duty too",
    "handling": "a fixed sum for each parcel",
    "payment_fee_pct": "card fee, per cent of the sum in home currency",
    "payment_fee": "for each payment, home currency, after the card fee",
    "ships_together": "which lots share a parcel: sale, days:N (N from 1 to 60) or no",
    "pay_days": "days from the invoice to pay in",
    "return_days": "days from arrival to return a piece in",
    "guarantee_days": "days from arrival for which the venue answers for a piece",
    "bids_by": "hours before the sale by which bids must be there; 24 if unsaid",
    "or_bids": "yes: the venue takes either-or bids on one sheet",
    "bid_steps": "increments from a price on: 0:5;100:10;500:25",
    "checked": "the day on which you compared these terms with the venue's own",
    "time_zone": "of its clock, as Europe/Berlin",
}
"""The terms that may be typed, each with its line of help."""
ACTS = {
    "add": "a new venue",
    "list": "all venues with their terms",
    "edit": "change some of a venue's terms",
    "drop": "remove a venue",
}
"""The acts, each with its line of help."""


def options(parser: Parser) -> None:
    """What it takes."""
    made = acts(parser, ACTS)
    for name in ("add", "edit", "drop"):
        made[name].add_argument("name", metavar="NAME", help="the venue, as its lots and prices name it")
    for name in ("add", "edit"):
        for option, words in TERMS.items():
            made[name].add_argument("--" + option.replace("_", "-"), dest=option, metavar="X", default=None, help=words)


def run(args: Namespace) -> int:
    """One act on the venues."""
    if args.act == "list":
        return _list(args)
    return change(args, {"add": _add, "edit": _edit, "drop": _drop}[args.act], DUE)


def _add(desk: Desk, args: Namespace) -> str:
    made = put_venue(desk, _typed(args.name, args), due=DUE)
    return "\n  ".join([f"{made.venue}: added.", *describe(made)[1:]])


def _edit(desk: Desk, args: Namespace) -> str:
    name = naming.venue(desk.terms, args.name)
    made = put_venue(desk, _typed(name, args), over=name, due=DUE)
    return "\n  ".join([f"{name}: changed.", *describe(made)[1:]])


def _typed(name: str, args: Namespace) -> dict[str, str]:
    return session.said(args) | {"venue": name}


def _drop(desk: Desk, args: Namespace) -> str:
    name = naming.venue(desk.terms, args.name)
    used = [source.name for source in desk.sources.values() if source.venue == name]
    drop_venue(desk, name, DUE)
    tail = f" {', '.join(used)} now have no fees included." if used else ""
    return f"{name}: removed.{tail}"


def _list(args: Namespace) -> int:
    with session.desk(args, write=False) as desk:
        for terms in desk.terms.values():
            if args.json:
                out.record(terms_to_json(terms))
            else:
                head, *rest = describe(terms)
                out.data(head)
                for line in rest:
                    out.data(f"  {line}")
        if not desk.terms:
            out.talk(
                "No venues yet: `watchlist venue add NAME --currency EUR --premium-pct 20` or "
                "`watchlist import terms FILE`."
            )
    return out.DONE
