"""watchlist venue add, list, edit, drop."""

from __future__ import annotations

from argparse import Namespace
from dataclasses import replace
from typing import Any

from watchlist.cli import out, session
from watchlist.cli.parser import TERM_OPTIONS
from watchlist.core.clean import clean
from watchlist.core.terms import Premium, Terms, describe, terms_from_row, terms_to_json
from watchlist.desk import pricing
from watchlist.desk.desk import Desk
from watchlist.desk.errors import DeskError
from watchlist.desk.importing import settle_all


def run(args: Namespace) -> int:
    """One act on the venues."""
    if args.act == "list":
        return _list(args)
    with session.desk(args, write=True) as desk:
        said = {"add": _add, "edit": _edit, "drop": _drop}[args.act](desk, args)
        pricing.mark_dirty(desk)
        desk.forget()
        settle_all(desk, reread=False)
        out.talk(said)
    return out.DONE


def _given(args: Namespace) -> dict[str, str]:
    return {name: value for name in TERM_OPTIONS if (value := getattr(args, name)) is not None}


def _add(desk: Desk, args: Namespace) -> str:
    if not args.name.strip() or args.name != clean(args.name):
        raise DeskError("A venue needs a name: `watchlist venue add \"Northgate Sales\"`. Nothing was changed.")
    if args.name in desk.terms:
        raise DeskError(f"{args.name} is there already; `watchlist venue edit` changes it. Nothing was changed.")
    row = {"venue": args.name, "currency": desk.home, **_given(args)}
    made = terms_from_row(row, codes=_codes(desk))
    desk.shelf.notebook.venues.put(made)
    return "\n  ".join([f"{args.name}: added.", *describe(made)[1:]])


def _edit(desk: Desk, args: Namespace) -> str:
    name = desk.known_venue(args.name)
    old, given = desk.terms[name], _given(args)
    read = terms_from_row({"venue": name, "currency": old.currency, "kind": old.kind, **given}, codes=_codes(desk))
    made = replace(old, **_changes(old, read, given))
    desk.shelf.notebook.venues.put(made)
    return "\n  ".join([f"{name}: changed.", *describe(made)[1:]])


FIELDS = {
    "internet_fee_pct": "internet_pct", "vat_on_premium_pct": "vat_fees_pct", "vat_on_hammer_pct": "vat_hammer_pct",
    "tax_on_shipping": "tax_shipping", "payment_fee_pct": "card_pct", "bid_steps": "ladder",
}
"""Option to field of Terms, where the names differ."""


def _changes(old: Terms, read: Terms, given: dict[str, str]) -> dict[str, Any]:
    """The fields that the options name; a rate or a minimum alone leaves the rest of the premium as it was."""
    changes = {
        FIELDS.get(name, name): getattr(read, FIELDS.get(name, name))
        for name in given if name not in ("premium", "premium_pct", "min_premium")
    }
    if "premium" in given:
        changes["premium"] = read.premium
    elif {"premium_pct", "min_premium"} & given.keys():
        rate = read.premium.pct if "premium_pct" in given else old.premium.pct
        least = read.premium.minimum if "min_premium" in given else old.premium.minimum
        changes["premium"] = Premium("flat", rate, least)
    return changes


def _codes(desk: Desk) -> frozenset[str]:
    return desk.currencies


def _drop(desk: Desk, args: Namespace) -> str:
    name = desk.known_venue(args.name)
    desk.shelf.notebook.venues.drop(name)
    used = [source.name for source in desk.sources.values() if source.venue == name]
    tail = f" {', '.join(used)} now count without fees." if used else ""
    return f"{name}: dropped.{tail}"


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
            out.talk("No venues yet: `watchlist venue add NAME --currency EUR --premium-pct 20` or "
                     "`watchlist import terms FILE`.")
    return out.DONE
