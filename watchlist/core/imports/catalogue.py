"""A catalogue's rows to issues."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import TypeVar

from watchlist.core.coins.issue import Issue, bare_words, implied_issue
from watchlist.core.imports.cells import count, means, measure, mentions, yes
from watchlist.core.imports.coin import Coin, ask_country, ask_denomination, read_coin
from watchlist.core.imports.context import Context
from watchlist.core.imports.kind import File, Kind
from watchlist.core.imports.record import CellError, Row

Value = TypeVar("Value")


def _issue(file: File, row: Row) -> Issue:
    coin = read_coin(row, file.context, mint_given=True)
    if not coin.country:
        raise CellError("the country is missing")
    if file.context.catalogue.country(coin.country) != bare_words(coin.country):
        ask_country(coin.country, file.context)
    elif coin.denomination not in file.context.catalogue.denominations:
        ask_denomination(coin, file.context)
    return Issue(
        row.get("issue") or _name(coin),
        coin.country,
        coin.denomination,
        coin.year,
        coin.mint or "",
        coin.variety or "",
        coin.type,
        mintage=_figure(file, row, "mintage", lambda cell: count(cell, file.context)),
        metal=row.get("metal"),
        weight_g=_figure(file, row, "weight_g", measure),
        diameter_mm=_figure(file, row, "diameter_mm", measure),
        thickness_mm=_figure(file, row, "thickness_mm", measure),
        weight_tolerance_g=_figure(file, row, "weight_tolerance_g", measure),
        copied=_copied(row, file.context),
        note=row.get("note"),
    )


def _name(coin: Coin) -> str:
    """The key of an issue that its catalogue gives none: the coin in words."""
    return implied_issue(coin.country, coin.denomination, coin.year, coin.mint, coin.variety).key


def _figure(file: File, row: Row, column: str, figure: Callable[[str], Value]) -> Value | None:
    """A figure of the specification; one that is not known, or cannot be read, is left open."""
    text, words = row.get(column), file.context.words
    if not text or means(text, "unknown", words) or means(text, "no_mint", words):
        return None
    try:
        return figure(text)
    except CellError as error:
        file.leave_open(row.line, f"the {column.split('_')[0]} {error}; it is left open")
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


CATALOGUE = Kind(
    "a catalogue",
    (("issue", "mintage", "metal", "weight_g"), ("country",), ("denomination",), ("year",)),
    lambda file: partial(_issue, file),
    same=lambda issue: issue.key,
    again=lambda issue: f"the issue {issue.key}",
)
