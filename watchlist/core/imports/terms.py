"""Rows of venues' terms to terms."""

from __future__ import annotations

import json
from functools import partial

from watchlist.core.fees.terms import Terms
from watchlist.core.imports.cells import currency, means, named, yes
from watchlist.core.imports.context import Context
from watchlist.core.imports.dates import day
from watchlist.core.imports.kind import File, Kind
from watchlist.core.imports.record import Row
from watchlist.core.money.codes import known_codes
from watchlist.core.typed.venue import terms_from

KINDS = ("auction", "marketplace", "dealer", "club")
YES_OR_NO = ("tax_on_shipping", "duty_in_import_vat", "or_bids")


def _terms(file: File, row: Row) -> Terms:
    context = file.context
    home = context.currency or context.home
    return terms_from(_plain(row, file.order, context), home=home, codes=known_codes(context.words["money"]))


def _plain(row: Row, order: str | None, context: Context) -> dict[str, str]:
    """The cells in the words that terms are read from: codes, English kinds, yes and no, ISO days."""
    cells = dict(row.values)
    if text := cells.get("currency"):
        cells["currency"] = currency(text, context)
    elif cells.get("venue"):
        context.note(f"terms without a currency are taken as {context.currency or context.home}")
    for kind in KINDS:
        if means(cells.get("kind", ""), kind, context.words):
            cells["kind"] = kind
    for column in YES_OR_NO:
        if text := cells.get(column):
            cells[column] = "yes" if named(column.replace("_", " "), lambda cell: yes(cell, context), text) else "no"
    if text := cells.get("checked"):
        cells["checked"] = named("day of checking", lambda cell: day(cell, order, context), text).isoformat()
    if cells.get("premium_pct", "").startswith("{"):
        cells["premium"] = cells.pop("premium_pct")
    if cells.get("min_premium") and cells.get("premium", "").startswith("{"):
        cells["premium"] = _with_minimum(cells["premium"], cells["min_premium"])
    return cells


def _with_minimum(tiers: str, least: str) -> str:
    """Tiers with the minimum of its own column, unless they state one."""
    try:
        premium = json.loads(tiers)
    except ValueError:
        return tiers  # told where it is read
    return json.dumps({"min": least.replace(",", "."), **premium}) if isinstance(premium, dict) else tiers


TERMS = Kind(
    "a list of terms",
    (("venue",),),
    lambda file: partial(_terms, file),
    dates="checked",
    same=lambda terms: terms.venue,
    again=lambda terms: f"the venue {terms.venue}",
)
