"""Rows of a want-list to wants."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, replace
from decimal import Decimal
from itertools import count as numbers
from typing import Any

from watchlist.core.coins.issue import Issue
from watchlist.core.imports.cells import CellError, count, learn_mark, means, money, named, quoted, yes
from watchlist.core.imports.coin import Finder, read_coin, resolve, series_known
from watchlist.core.imports.context import Context
from watchlist.core.imports.grade import grade, is_range
from watchlist.core.imports.record import Imported, Row, SetAside, Table
from watchlist.core.marks.record import Want
from watchlist.core.money.amount import Money

SIGNED = re.compile(r"[^\W\d]|[€$£¥]")
AMOUNTS = ("ceiling", "low", "high")


@dataclass(frozen=True, slots=True)
class _File:
    context: Context
    finder: Finder
    mark: str | None
    free_ids: Iterator[str]
    nameless: dict[tuple[object, ...], list[Want]]
    """Wants of the notebook that no row of the file names, by coin and grade: a row without an id may be one."""


def want_rows(table: Table, context: Context) -> Imported[Want]:
    """Every row a want, or set aside. A want without an id gets the next free one of w1, w2, ...; of an id given twice
    the last row stands."""
    named_here = {row.get("want_id") for row in table.rows}
    used = named_here | context.taken_ids | context.wants.keys()
    free = (name for number in numbers(1) if (name := f"w{number}") not in used)
    nameless: dict[tuple[object, ...], list[Want]] = {}
    for want in context.wants.values():
        if want.id not in named_here:
            nameless.setdefault(_coin(want), []).append(want)
    file = _File(context, Finder(table, context), learn_mark(table, AMOUNTS, context), free, nameless)
    found: dict[str, tuple[int, Want]] = {}
    aside = list(table.set_aside)
    for row in context.over(table.rows):
        try:
            want = _want(row, file)
        except CellError as error:
            aside.append(SetAside(row.line, f"{error}; the row is set aside"))
            continue
        if before := found.pop(want.id, None):
            aside.append(SetAside(before[0], f"the want {want.id} stands again at line {row.line}, which counts"))
        found[want.id] = (row.line, want)
    aside.sort(key=lambda one: one.line)
    wants = tuple(want for _, want in found.values())
    implied = file.finder.all_implied()
    return Imported(wants, tuple(aside), tuple(context.notes), implied)


def _want(row: Row, file: _File) -> Want:
    context = file.context
    if (id := row.get("want_id")) and id in context.taken_ids - context.wants.keys():
        raise CellError(f"the want {id} of the notebook cannot be read; mend or drop it there first")
    ceiling = _amount(row, "ceiling", file)
    own = ceiling.currency if ceiling else ""
    low, high = _amount(row, "low", file, own), _amount(row, "high", file, own)
    if low and high and low.amount > high.amount:
        raise CellError(f"the low price {quoted(row.get('low'))} is above the high one {quoted(row.get('high'))}")
    issue, mint, variety = _issue(row, file)
    lowest, highest = _grades(row, issue, context)
    made = Want(
        row.get("want_id"),
        issue.country,
        issue.denomination,
        issue.year,
        mint,
        variety,
        lowest,
        highest,
        certified=_certified(row.get("certified"), context),
        ceiling=ceiling,
        low=low,
        high=high,
        quantity=_count(row, "quantity", 1),
        filled=_count(row, "filled", 0),
        upgrade=named("upgrade cell", lambda text: yes(text, context), row.get("upgrade") or "no"),
        priority=_count(row, "priority", 0),
        note=row.get("note"),
    )
    made = _kept(made, row, file)
    if made.ceiling is None:
        context.note(f"line {row.line}: no ceiling is given; the want gets no bid limit")
    return made


TOGETHER = (
    ("min_grade", "max_grade"),
    ("low", "high"),
    ("certified",),
    ("ceiling",),
    ("quantity",),
    ("filled",),
    ("upgrade",),
    ("priority",),
    ("note",),
)
"""Cells that say one thing; where all of them are empty the row does not say it."""


def _kept(made: Want, row: Row, file: _File) -> Want:
    """The want with its id, and with what the row does not say as the notebook has it: the pieces filled, above all."""
    before = file.context.wants.get(made.id)
    if not made.id:
        alike = file.nameless.get(_coin(made))
        before = alike.pop(0) if alike else None
        made = replace(made, id=before.id if before else next(file.free_ids))
    if before is None:
        return made
    silent = [name for cells in TOGETHER if not any(map(row.get, cells)) for name in cells]
    changes: dict[str, Any] = {name: getattr(before, name) for name in silent}
    return replace(made, **changes)


def _coin(want: Want) -> tuple[object, ...]:
    return want.country, want.denomination, want.year, want.mint, want.variety, want.min_grade, want.certified


def _issue(row: Row, file: _File) -> tuple[Issue, str | None, str | None]:
    """The issue, and mint and variety as wanted (None: any)."""
    context = file.context
    if means(row.get("mint") or "-", "any", context.words):
        issue = _of_any_mint(row, file)
        return issue, None, row.get("variety") or None
    issue, coin, _ = file.finder.of_row(row)
    variety = (coin.variety if coin else None) or issue.variety or None
    return issue, issue.mint, variety


def _of_any_mint(row: Row, file: _File) -> Issue:
    """Some issue of the year: it lends the want its country, denomination and year."""
    coin = read_coin(row, file.context, mint_given=True)
    found = resolve(file.context.catalogue, coin)
    if isinstance(found, Issue):
        return found
    if found:
        return found[0]
    if series_known(file.context.catalogue, coin):
        raise CellError(f"the catalogue knows the series and lists no {coin.name}")
    return file.finder.of_coin(coin)


def _grades(row: Row, issue: Issue, context: Context) -> tuple[int | None, int | None]:
    """Lowest and highest grade taken; `40-55` in the first column says both, words there only the lowest."""
    lowest, highest = row.get("min_grade"), row.get("max_grade")
    coin = issue.country, issue.denomination
    low = named("lowest grade", lambda text: grade(text, *coin, context), lowest) if lowest else None
    high = named("highest grade", lambda text: grade(text, *coin, context), highest) if highest else None
    if low and high and low.low > high.high:
        raise CellError(f"the lowest grade {quoted(lowest)} is above the highest {quoted(highest)}")
    stated = low.high if low and not high and low.high > low.low and is_range(lowest) else None
    return low.low if low else None, high.high if high else stated


def _amount(row: Row, column: str, file: _File, own: str = "") -> Money | None:
    """An amount in the currency of its column, of its text, or `own`, the ceiling's."""
    text = row.get(column)
    if not text:
        return None
    code = row.get("ceiling_currency") or ("" if SIGNED.search(text) else own)
    read = named(column, lambda cell: money(cell, code, file.mark, file.context, kind=column), text)
    if read.amount <= Decimal(0):
        raise CellError(f"the {column} {quoted(text)} is nothing")
    return read


def _certified(text: str, context: Context) -> bool:
    if means(text, "any", context.words):
        return False
    return named("certified cell", lambda cell: yes(cell, context), text or "no")


def _count(row: Row, column: str, default: int) -> int:
    text = row.get(column)
    return named(column, count, text) if text else default
