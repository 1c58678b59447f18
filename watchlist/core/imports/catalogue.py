"""A catalogue's rows to issues."""

from __future__ import annotations

from collections.abc import Callable
from typing import TypeVar

from watchlist.core.coins import Issue
from watchlist.core.imports.cells import CellError, count, means, measure, mentions, yes
from watchlist.core.imports.coin import read_coin
from watchlist.core.imports.context import Context
from watchlist.core.imports.record import Imported, Row, SetAside, Table

Value = TypeVar("Value")


def catalogue_rows(table: Table, context: Context) -> Imported[Issue]:
    """Every row an issue, or set aside. A figure that cannot be read is left open and named; of a key given twice the
    last row stands."""
    found: dict[str, tuple[int, Issue]] = {}
    aside = list(table.set_aside)
    for row in table.rows:
        try:
            issue = _issue(row, context)
        except CellError as error:
            aside.append(SetAside(row.line, f"{error}; the row is set aside"))
            continue
        if before := found.pop(issue.key, None):
            aside.append(SetAside(before[0], f"the issue {issue.key} stands again at line {row.line}, which counts"))
        found[issue.key] = (row.line, issue)
    issues = tuple(issue for _, issue in found.values())
    return Imported(issues, tuple(sorted(aside, key=lambda s: s.line)), tuple(context.notes))


def _issue(row: Row, context: Context) -> Issue:
    coin = read_coin(row, context, mint_given=True)
    if not coin.country:
        raise CellError("the country is missing")
    key = row.get("issue")
    if not key:
        raise CellError("the issue, its key, is missing")
    return Issue(
        key, coin.country, coin.denomination, coin.year, coin.mint or "", coin.variety or "", coin.type,
        mintage=_open(row, "mintage", count, context),
        metal=row.get("metal"),
        weight_g=_open(row, "weight_g", measure, context),
        diameter_mm=_open(row, "diameter_mm", measure, context),
        thickness_mm=_open(row, "thickness_mm", measure, context),
        weight_tolerance_g=_open(row, "weight_tolerance_g", measure, context),
        copied=_copied(row, context),
        note=row.get("note"),
    )


def _open(row: Row, column: str, read: Callable[[str], Value], context: Context) -> Value | None:
    """A figure of the specification; unreadable it is None, and the line is named."""
    text = row.get(column)
    if not text or means(text, "unknown", context.words) or means(text, "no_mint", context.words):
        return None
    try:
        return read(text)
    except CellError as error:
        context.note(f"line {row.line}: the {column.split('_')[0]} {error}; it is left open")
        return None


def _copied(row: Row, context: Context) -> bool:
    """The column, or the words of the note: `counterfeits known`."""
    said = row.get("copied")
    if said:
        try:
            return yes(said, context)
        except CellError as error:
            if _tells_of_copies(said, context):
                return True
            context.note(f"line {row.line}: copied: {error}; it is left to the note")
    return _tells_of_copies(row.get("note"), context)


def _tells_of_copies(text: str, context: Context) -> bool:
    return mentions(text, "copied", context.words) and not mentions(text, "not_copied", context.words)
