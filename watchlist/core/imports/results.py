"""Rows of a venue's results to what became of each lot: won, lost or unsold."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from functools import partial
from typing import Literal

from watchlist.core.imports.cells import means, named, price
from watchlist.core.imports.context import LotMeant
from watchlist.core.imports.dates import day
from watchlist.core.imports.kind import File, Kind
from watchlist.core.imports.prices import status
from watchlist.core.imports.record import CellError, Row
from watchlist.core.lots.sold import is_unsold
from watchlist.core.money.amount import Money

Outcome = Literal["won", "lost", "unsold"]


@dataclass(frozen=True, slots=True)
class ResultRow:
    """What became of one lot."""

    lot: str
    """Its key."""
    outcome: Outcome
    price: Money | None
    """Hammer price, or the bid at which an unsold lot stood; sale currency."""
    on: date | None


def _result(file: File, row: Row) -> ResultRow:
    context = file.context
    if not row.get("lot_id"):
        raise CellError("the lot is missing")
    on = (
        named("day", lambda text: day(text, file.order, context), row.get("sale_date"))
        if row.get("sale_date")
        else None
    )
    lot = context.lot_meant(row, on)
    said = _said(file, row)
    fell = _price(file, row, lot) if any(map(str.isdigit, row.get("hammer"))) else None
    if fell is None and said != "unsold":
        raise CellError("the hammer price is missing")
    return ResultRow(lot.key, _outcome(said, fell, lot), fell, on)


def _said(file: File, row: Row) -> Outcome | Literal["sold"]:
    """What the row says; `sold` leaves open to whom."""
    words, text = file.context.words, row.get("status")
    if is_unsold(row.get("hammer"), words):
        return "unsold"
    for name in ("won", "lost"):
        if means(text, name, words):
            return name
    return (
        "unsold" if file.context.once("status", text, lambda cell: status(cell, file.context)) == "unsold" else "sold"
    )


def _price(file: File, row: Row, lot: LotMeant) -> Money:
    """The hammer price; one that names no currency is in that of its sale."""
    told = named(
        "price",
        lambda text: price(text, row.get("currency"), file.mark, file.context, kind="hammer", venue=lot.currency),
        row.get("hammer"),
    )
    assert told.amount is not None
    read = Money(told.amount, told.currency or file.context.currency or lot.currency)
    if read.currency != lot.currency:
        raise CellError(f"the price is in {read.currency}, its sale in {lot.currency}")
    if read.amount <= 0:
        raise CellError("the price is zero")
    if lot.stood is not None and lot.stood.currency == read.currency and read.amount < lot.stood.amount:
        raise CellError(f"the price {read} is below {lot.stood}, at which the lot stood already")
    return read


def _outcome(said: Outcome | Literal["sold"], price: Money | None, lot: LotMeant) -> Outcome:
    """A list of a venue seldom says who bought: at or under one's own bid nothing is guessed, for a win is a debt."""
    command = f"`watchlist result {lot.key} {price.amount if price else ''}{{}}`"
    if lot.won is not None and (said != "unsold" and price == lot.won):
        return "won"
    if lot.won is not None and said != "won":
        raise CellError(f"you recorded that it was won at {lot.won}; {command.format('')} replaces that")
    reached = lot.bid is not None and price is not None and price.amount <= lot.bid.amount
    if said == "sold" and reached:
        raise CellError(
            f"sold for {price}, and your bid was {lot.bid}: say won or lost in a column `status`, or by "
            f"{command.format(' --won')}"
        )
    if said == "won" and not reached and lot.bid is not None:
        raise CellError(f"won at {price} is above your bid of {lot.bid}: {command.format(' --won')} if it is so")
    return "lost" if said == "sold" else said


RESULTS = Kind(
    "a list of results",
    (("lot_id",), ("hammer", "status")),
    lambda file: partial(_result, file),
    amounts=("hammer",),
    dates="sale_date",
    same=lambda row: row.lot,
    again=lambda row: f"the lot {row.lot}",
)
