"""Rows of past sales to prices realised."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import replace
from decimal import Decimal
from functools import partial

from watchlist.core.coins.finishes import with_grade
from watchlist.core.coins.issue import Issue
from watchlist.core.imports.cells import count, means, mentions, money, named, quoted, yes
from watchlist.core.imports.context import Context, decimal
from watchlist.core.imports.dates import day
from watchlist.core.imports.grade import grade
from watchlist.core.imports.kind import COIN, File, Kind
from watchlist.core.imports.record import CellError, Row
from watchlist.core.lots.sold import is_unsold
from watchlist.core.money.amount import Money
from watchlist.core.prices.realised import GRAVEST, PriceRealised
from watchlist.core.prices.traits import SERVICE, kind_of, traits_from
from watchlist.core.reading.record import Reading

PRICES = ("hammer", "all_in")
WEIGHT = "sale_weight"
SHARE = re.compile(r"0?[.,]\d{1,20}|0|1(?:[.,]0{1,20})?", re.ASCII)
"""A weight that a person gives a sale."""


def _price(file: File, row: Row) -> PriceRealised:
    context = file.context
    sale_date = named("sale date", lambda text: day(text, file.order, context), row.get("sale_date"))
    column = "hammer" if row.get("hammer") else "all_in"
    sold = context.once("status", row.get("status"), lambda text: status(text, context))
    said = row.get(column)
    if (sold == "unsold" and not said) or (is_unsold(said, context.words) and not any(map(str.isdigit, said))):
        raise CellError("the lot was not sold, and no price is given")
    price = named("price", lambda text: _amount(text, row, column, file), row.get(column))
    if is_unsold(row.get(column), context.words):  # `not sold 50`
        sold = "unsold"
    issue, _, reading = file.finder.of_row(row)
    low, high, problems = graded(row, issue, context)
    holds, service = certified(row.get("certified"), context)
    made = PriceRealised(
        0,
        issue.key,
        sale_date,
        price,
        "hammer" if column == "hammer" else "all-in",
        low,
        high,
        row.get("grade"),
        holds,
        service,
        row.get("cert_number"),
        problems,
        row.get("source"),
        sold,
        row.get("title"),
        _quantity(row.get("quantity"), context),
        origin=f"{context.file} line {row.line}".strip(),
        note=row.get("note"),
        lot=row.get("lot_id"),
    )
    return _from_title(made, row, reading, context)


def _amount(text: str, row: Row, column: str, file: File) -> Money:
    venue = file.context.venues.get(row.get("source"), "")
    read = money(text, row.get("currency"), file.mark, file.context, kind=column, venue=venue)
    if read.amount <= Decimal(0):
        raise CellError(f"{quoted(text)} is zero")
    return read


def status(text: str, context: Context) -> str:
    """`sold` or `unsold`; an empty cell is sold, for it has a price."""
    if not text or mentions(text, "unsold", context.words):
        return "unsold" if text else "sold"
    if mentions(text, "sold", context.words) or means(text, "yes", context.words):
        return "sold"
    if means(text, "no", context.words):
        return "unsold"
    raise CellError(f"the status {quoted(text)} is neither sold nor unsold")


def _quantity(text: str, context: Context) -> int:
    return max(1, named("quantity", lambda cell: count(cell, context), text)) if text else 1


def graded(row: Row, issue: Issue, context: Context) -> tuple[int | None, int | None, tuple[str, ...]]:
    """The range of the grade cell and the problems, which a grade may name too."""
    problems = _problems(row.get("problem"), context)
    if not row.get("grade"):
        return None, None, problems
    read = named("grade", lambda cell: grade(cell, issue.country, issue.denomination, context), row.get("grade"))
    return read.low, read.high, problems or (("details",) if read.details else ())


def _from_title(made: PriceRealised, row: Row, reading: Reading | None, context: Context) -> PriceRealised:
    """What the cells leave open and the title says. A price without a grade is kept."""
    if made.title and reading is None and (made.grade_low is None or _names_traits(made.title, context)):
        reading = context.reader.read(made.title, "", row.values)
    if reading is None:
        held = f"traits of {made.service if made.certified else ''} {made.certified}"
        traits = context.once(held, made.grade_text, lambda _: _traits(made, (), context))
        return replace(made, traits=traits) if traits else made
    graded, reading = made.grade_low is not None, with_grade(reading)
    return replace(
        made,
        grade_low=made.grade_low if graded else reading.grade_low,
        grade_high=made.grade_high if graded else reading.grade_high,
        grade_text=made.grade_text or reading.grade_text or "",
        certified=made.certified or reading.certified,
        service=made.service or reading.service or "",
        cert_number=made.cert_number or reading.cert_number or "",
        problems=made.problems or reading.problems,
        quantity=made.quantity if row.get("quantity") else reading.quantity or made.quantity,
        replica=reading.replica,
        traits=_traits(made, (reading,), context),
    )


def _names_traits(title: str, context: Context) -> bool:
    """Whether a title may say what moves a value beyond the grade, so that it is worth reading."""
    folded = title.casefold()
    return any(hint in folded for hint in context.words["traits"].get("hints", ()))


def _traits(made: PriceRealised, readings: Sequence[Reading], context: Context) -> tuple[str, ...]:
    """What moves its value beyond the grade, by its title and by the cell of its grade."""
    known = traits_from(context.words["traits"])
    text = made.grade_text
    cell = context.once("traits", text, lambda _: context.reader.read(text)) if text else None
    found: dict[str, str] = {}
    for reading in (*readings, *((cell,) if cell is not None else ())):
        told = replace(reading, certified=made.certified or reading.certified, service=made.service or reading.service)
        found |= {kind_of(name): name for name in known.of(told) if kind_of(name) not in found}
    if made.certified and made.service:
        found[SERVICE] = f"{SERVICE}:{made.service}"
    return tuple(sorted(found.values()))


def certified(text: str, context: Context) -> tuple[bool, str]:
    """Whether a service holds the piece, and its code when the cell is one."""
    try:
        return yes(text, context), ""
    except CellError:
        return True, text


def _problems(text: str, context: Context) -> tuple[str, ...]:
    """Problems in the words of a reading; words nobody knows still are a problem."""
    if not text or means(text, "no", context.words):
        return ()
    name = text.casefold().replace(" ", "_")
    if name in GRAVEST:
        return (name,)
    read = context.once("problem", text, lambda _: context.reader.read(text).problems)
    if not read:
        context.note(f"the problem {quoted(text)} is not known and counts as `damaged`")
    return read or ("damaged",)


def _weighs(file: File) -> bool:
    """Whether the column of weights holds the person's own, 0 to 1; one of grams is none, and a note says so."""
    told = ((row.line, row.get(WEIGHT)) for row in file.table.rows)
    odd = next(((line, text) for line, text in told if text and not SHARE.fullmatch(text)), None)
    if odd:
        line, text = odd
        file.context.note(f"the column of weights is unused: line {line} has {quoted(text)}, not a weight of 0 to 1")
    return odd is None


def _open(file: File) -> Callable[[Row], PriceRealised]:
    if all(name in file.table.columns for name in PRICES):
        file.context.note("hammer and all_in are both given: the hammer price counts, all_in where it is empty")
    if WEIGHT not in file.table.columns or not _weighs(file):
        return partial(_price, file)
    return partial(_weighed, file)


def _weighed(file: File, row: Row) -> PriceRealised:
    made, weight = _price(file, row), row.get(WEIGHT)
    return replace(made, weight=float(decimal(weight))) if weight else made


SALES = Kind(
    "a list of prices",
    (("sale_date",), *COIN, ("grade", "title"), PRICES),
    _open,
    amounts=PRICES,
    dates="sale_date",
)
