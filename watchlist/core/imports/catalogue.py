"""A catalogue's rows to issues."""

from __future__ import annotations

from collections.abc import Callable
from typing import TypeVar

from watchlist.core.coins.issue import Issue
from watchlist.core.imports.cells import CellError, count, means, measure, mentions, yes
from watchlist.core.imports.coin import read_coin
from watchlist.core.imports.context import Context
from watchlist.core.imports.record import Imported, ImportRefused, Row, SetAside, Table

Value = TypeVar("Value")


class _OpenCells:
    """Figures of the specification; one that cannot be read is left open, and the same words are told once."""

    def __init__(self, context: Context) -> None:
        self.context = context
        self.lines: dict[str, list[int]] = {}

    def read(self, row: Row, column: str, figure: Callable[[str], Value]) -> Value | None:
        """The figure of a cell, or None."""
        text = row.get(column)
        if not text or means(text, "unknown", self.context.words) or means(text, "no_mint", self.context.words):
            return None
        try:
            return figure(text)
        except CellError as error:
            self.lines.setdefault(f"the {column.split('_')[0]} {error}; it is left open", []).append(row.line)
            return None

    def tell(self) -> None:
        """A note for each sentence with its first line, and how many lines more."""
        for sentence, lines in self.lines.items():
            more = f" ({len(lines) - 1:,} more lines say so)" if len(lines) > 1 else ""
            self.context.note(f"line {lines[0]}: {sentence}{more}")


def catalogue_rows(table: Table, context: Context) -> Imported[Issue]:
    """Every row an issue, or set aside. A figure that cannot be read is left open and named; of a key given twice the
    last row stands. Raises ImportRefused when there is no column of keys."""
    if table.rows and "issue" not in table.columns:
        raise ImportRefused("The file has no column of issue keys, so nothing was taken; head one `issue`.")
    open_cells = _OpenCells(context)
    found: dict[str, tuple[int, Issue]] = {}
    aside = list(table.set_aside)
    for row in context.over(table.rows):
        try:
            issue = _issue(row, context, open_cells)
        except CellError as error:
            aside.append(SetAside(row.line, f"{error}; the row is set aside"))
            continue
        if before := found.pop(issue.key, None):
            aside.append(SetAside(before[0], f"the issue {issue.key} stands again at line {row.line}, which counts"))
        found[issue.key] = (row.line, issue)
    issues = tuple(issue for _, issue in found.values())
    open_cells.tell()
    return Imported(issues, tuple(sorted(aside, key=lambda s: s.line)), tuple(context.notes))


def _issue(row: Row, context: Context, open_cells: _OpenCells) -> Issue:
    coin = read_coin(row, context, mint_given=True)
    if not coin.country:
        raise CellError("the country is missing")
    key = row.get("issue")
    if not key:
        raise CellError("the issue, its key, is missing")
    return Issue(
        key,
        coin.country,
        coin.denomination,
        coin.year,
        coin.mint or "",
        coin.variety or "",
        coin.type,
        mintage=open_cells.read(row, "mintage", count),
        metal=row.get("metal"),
        weight_g=open_cells.read(row, "weight_g", measure),
        diameter_mm=open_cells.read(row, "diameter_mm", measure),
        thickness_mm=open_cells.read(row, "thickness_mm", measure),
        weight_tolerance_g=open_cells.read(row, "weight_tolerance_g", measure),
        copied=_copied(row, context),
        note=row.get("note"),
    )


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
