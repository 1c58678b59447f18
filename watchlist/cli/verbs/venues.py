"""watchlist venue add, list, edit, drop."""

from __future__ import annotations

from argparse import Namespace

from watchlist.cli import out, session
from watchlist.cli.parser import TERM_OPTIONS
from watchlist.core.clean import clean
from watchlist.core.fees.row import terms_from_row, terms_to_row
from watchlist.core.fees.terms import terms_to_json
from watchlist.desk import naming
from watchlist.desk.desk import Desk
from watchlist.desk.due import MARKET, Due
from watchlist.desk.errors import DeskError
from watchlist.desk.settling import settle
from watchlist.page.terms import describe

TERMS = MARKET | Due(scales=True)
"""What a change of terms makes due."""


def run(args: Namespace) -> int:
    """One act on the venues."""
    if args.act == "list":
        return _list(args)
    with session.desk(args, write=True) as desk:
        said = {"add": _add, "edit": _edit, "drop": _drop}[args.act](desk, args)
        settle(desk, TERMS)
        out.talk(said)
    return out.DONE


def _given(args: Namespace) -> dict[str, str]:
    return {name: value for name in TERM_OPTIONS if (value := getattr(args, name)) is not None}


def _add(desk: Desk, args: Namespace) -> str:
    if not args.name.strip() or args.name != clean(args.name):
        raise DeskError('A venue needs a name: `watchlist venue add "Northgate Sales"`. Nothing was changed.')
    if args.name in desk.terms:
        raise DeskError(f"{args.name} is there already; `watchlist venue edit` changes it. Nothing was changed.")
    row = {"venue": args.name, "currency": desk.home, **_given(args)}
    made = terms_from_row(row, codes=_codes(desk))
    with desk.changing(TERMS):
        desk.shelf.notebook.venues.put(made)
    return "\n  ".join([f"{args.name}: added.", *describe(made)[1:]])


def _edit(desk: Desk, args: Namespace) -> str:
    name = naming.venue(desk.terms, args.name)
    row, given = terms_to_row(desk.terms[name]), _given(args)
    if "premium_pct" in given:
        row.pop("premium", None)  # one rate takes the place of tiers; the least premium stays
        row["min_premium"] = f"{desk.terms[name].premium.minimum:f}"
    made = terms_from_row({**row, **given}, codes=_codes(desk))
    with desk.changing(TERMS):
        desk.shelf.notebook.venues.put(made)
    return "\n  ".join([f"{name}: changed.", *describe(made)[1:]])


def _codes(desk: Desk) -> frozenset[str]:
    return desk.currencies


def _drop(desk: Desk, args: Namespace) -> str:
    name = naming.venue(desk.terms, args.name)
    with desk.changing(TERMS):
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
            out.talk(
                "No venues yet: `watchlist venue add NAME --currency EUR --premium-pct 20` or "
                "`watchlist import terms FILE`."
            )
    return out.DONE
