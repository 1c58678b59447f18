"""The bands of single issues after a result or its undo, where the whole market would take long to fit again."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import replace
from datetime import date
from typing import Any

from watchlist.core.marks.valuation import SavedMarket
from watchlist.core.prices.realised import Sale
from watchlist.core.prices.reband import KEEP, reband
from watchlist.core.prices.truegrades import Header, Row
from watchlist.desk.desk import Desk
from watchlist.desk.due import Due
from watchlist.desk.prices.fitting import NEWEST, sales_of

FITTED_AT_ONCE = 5_000
"""So many prices are fitted while a person waits: in about a fifth of a second."""


def after(desk: Desk, issues: Collection[str]) -> Due:
    """What has to follow at once when prices of these issues came or went. The fit of the whole market is due; over
    many prices it is left for the next gather, and the issues' own bands take the prices in now."""
    named = frozenset(filter(None, issues))
    whole = Due(market=True, issues=named)
    desk.owed.add(whole)
    market = desk.market
    many = desk.shelf.store.prices.count() > FITTED_AT_ONCE
    if not many or not isinstance(market, SavedMarket) or NEWEST not in market.state.header:
        return whole
    for issue in named:
        _reband(desk, market.state.header, issue)
    return Due(issues=named)


def _reband(desk: Desk, header: Header, issue: str) -> None:
    """One issue's row with the prices that came since the fit and without those that went."""
    row = desk.shelf.store.market.row(issue)
    if row is None:
        return
    ready = {sale.id: sale for sale in sales_of(desk, desk.shelf.store.prices.of(issue))[0]}
    held = [_sale(issue, kept) for kept in row["sales"]]
    gone = [replace(sale, weight=0.0) for sale in held if sale.id not in ready]
    known = {sale.id for sale in held}
    came = [sale for number, sale in ready.items() if number > header[NEWEST] and number not in known]
    if (gone or came) and len(came) <= KEEP:
        desk.shelf.store.market.put_row(issue, _with(header, row, [*gone, *came]))


def _with(header: Header, row: Row, sales: Collection[Sale]) -> Row:
    for sale in sales:
        row = reband(header, row, sale)
    return row


def _sale(issue: str, kept: Sequence[Any]) -> Sale:
    """A sale from a row of the market, as `core.prices.reband.entry_of` wrote it."""
    number, grade, price, day, raw, problem, weight, venue_kind, *traits = kept
    made = Sale(number, issue, grade, price, date.fromisoformat(day), bool(raw), problem, venue_kind, weight)
    return replace(made, traits=tuple(*traits))
