"""Rows of venues' terms to terms."""

from __future__ import annotations

import json

from watchlist.core.fees.ladders import TermsError
from watchlist.core.fees.row import terms_from_row
from watchlist.core.fees.terms import Terms
from watchlist.core.imports.cells import CellError, currency, means, named, yes
from watchlist.core.imports.context import Context
from watchlist.core.imports.dates import day, learn_order
from watchlist.core.imports.record import Imported, ImportRefused, Row, SetAside, Table

KINDS = ("auction", "marketplace", "dealer", "club")
YES_OR_NO = ("tax_on_shipping", "duty_in_import_vat")


def terms_rows(table: Table, context: Context) -> Imported[Terms]:
    """Every row the terms of a venue, or set aside; of a venue given twice the last row stands.

    Raises ImportRefused when there is no column of venues.
    """
    if table.rows and "venue" not in table.columns:
        raise ImportRefused("The file has no column of venues, so nothing was taken; head one `venue`.")
    order = learn_order((row.get("checked") for row in table.rows), context)
    found: dict[str, tuple[int, Terms]] = {}
    aside = list(table.set_aside)
    for row in context.over(table.rows):
        try:
            terms = terms_from_row(_plain(row, order, context))
        except (CellError, TermsError) as error:
            aside.append(SetAside(row.line, f"{str(error).rstrip('.')}; the row is set aside"))
            continue
        if before := found.pop(terms.venue, None):
            aside.append(SetAside(before[0], f"the venue {terms.venue} stands again at line {row.line}, which counts"))
        found[terms.venue] = (row.line, terms)
    aside.sort(key=lambda one: one.line)
    return Imported(tuple(terms for _, terms in found.values()), tuple(aside), tuple(context.notes))


def _plain(row: Row, order: str | None, context: Context) -> dict[str, str]:
    """The cells in the words that terms are read from: codes, English kinds, yes and no, ISO days."""
    cells = dict(row.values)
    if text := cells.get("currency"):
        cells["currency"] = currency(text, context)
    elif cells.get("venue"):
        cells["currency"] = context.currency or context.home
        context.note(f"terms without a currency are taken as {cells['currency']}")
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
