"""Rows of a want-list to wants."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, replace
from itertools import count as numbers
from typing import Literal

from watchlist.core.coins.issue import Issue
from watchlist.core.imports.cells import count, means, money, named, quoted, yes
from watchlist.core.imports.coin import read_coin, resolve, series_known
from watchlist.core.imports.grade import grade, is_range
from watchlist.core.imports.kind import COIN, File, Kind
from watchlist.core.imports.record import CellError, Row
from watchlist.core.marks.record import Want
from watchlist.core.money.amount import Money
from watchlist.core.prices.traits import traits_from
from watchlist.core.typed.want import AMOUNTS, problems, traits_typed, want_from

SIGNED = re.compile(r"[^\W\d]|[€$£¥]")
ALONE = ("certified", "ceiling", "quantity", "filled", "upgrade", "priority", "note", "problem", "traits")
TOGETHER = (("min_grade", "max_grade"), ("low", "high"), *((name,) for name in ALONE))
"""Cells that say one thing; where all of them are empty the row does not say it."""


class _WantRows:
    """The rows of one file beside the notebook: the ids that are free, and the wants that no row names."""

    def __init__(self, file: File) -> None:
        self._file = file
        named_here = {row.get("want_id") for row in file.table.rows}
        used = named_here | file.context.taken_ids | file.context.wants.keys()
        self._free = (name for number in numbers(1) if (name := f"w{number}") not in used)
        self._nameless: dict[tuple[object, ...], list[Want]] = {}
        for want in file.context.wants.values():
            if want.id not in named_here:
                self._nameless.setdefault(_coin(want), []).append(want)

    def read(self, row: Row) -> Want:
        """The want, with its id, and with what the row does not say as the notebook has it: the pieces filled, above
        all. A row without an id may be a want of its coin and grade that no other row names."""
        context, id = self._file.context, row.get("want_id")
        if id and id in context.taken_ids - context.wants.keys():
            raise CellError(f"the want {id} of the notebook cannot be read; correct or remove it there first")
        issue, mint, variety = _issue(row, self._file)
        said, cells = _said(row), _CellWords(row, self._file, issue)
        made = want_from(said, Want(id, issue.country, issue.denomination, issue.year, mint, variety), cells)
        before = context.wants.get(id) if id else _first(self._nameless.get(_coin(made), []))
        if before:
            coin = {name: getattr(made, name) for name in ("country", "denomination", "year", "mint", "variety")}
            made = want_from(said, replace(before, **coin), cells)
        elif not id:
            made = replace(made, id=next(self._free))
        if made.ceiling is None:
            context.note(f"line {row.line}: no ceiling is given; the want gets no bid limit")
        return made


def _said(row: Row) -> Mapping[str, str]:
    """The cells that say something, with their empty fellows."""
    return {name: row.get(name) for cells in TOGETHER if any(map(row.get, cells)) for name in cells}


def _first(wants: list[Want]) -> Want | None:
    return wants.pop(0) if wants else None


def _coin(want: Want) -> tuple[object, ...]:
    return want.country, want.denomination, want.year, want.mint, want.variety, want.min_grade, want.certified


def _issue(row: Row, file: File) -> tuple[Issue, str | None, str | None]:
    """The issue, and mint and variety as wanted (None: any; a variety may be the regular coin alone)."""
    words, said = file.context.words, row.get("variety")
    any_mint, regular = means(row.get("mint") or "-", "any", words), means(said, "plain", words)
    if regular or means(said, "any", words):
        bare = replace(row, values={name: text for name, text in row.values.items() if name != "variety"})
        issue = _some_issue(bare, file) if row.get("denomination") else file.finder.of_row(bare)[0]
        return issue, None if any_mint else issue.mint, "" if regular else None
    if any_mint:
        return _some_issue(row, file), None, said or None
    issue, coin, _ = file.finder.of_row(row)
    return issue, issue.mint, (coin.variety if coin else None) or issue.variety or None


def _some_issue(row: Row, file: File) -> Issue:
    """Some issue of the year: it lends the want its country, denomination and year."""
    coin = read_coin(row, file.context, mint_given=True)
    found = resolve(file.context.catalogue, coin)
    if isinstance(found, Issue):
        return found
    if found:
        return found[0]
    if series_known(file.context.catalogue, coin):
        raise CellError(f"the catalogue has this series but not {coin.name}")
    return file.finder.of_coin(coin)


@dataclass(frozen=True, slots=True)
class _CellWords:
    """The words of one row, read as cells are: in six languages, with the marks of the file."""

    row: Row
    file: File
    issue: Issue
    """Its coinage says which scale a grade is of."""

    def grades(self, said: Mapping[str, str]) -> tuple[int | None, int | None]:
        """Lowest and highest grade; `40-55` in the first column says both, words there only the lowest."""
        coin, context = (self.issue.country, self.issue.denomination), self.file.context
        lowest, highest = said.get("min_grade", ""), said.get("max_grade", "")
        low = named("lowest grade", lambda text: grade(text, *coin, context), lowest) if lowest else None
        high = named("highest grade", lambda text: grade(text, *coin, context), highest) if highest else None
        if low and high and low.low > high.high:
            raise CellError(f"the lowest grade {quoted(lowest)} is above the highest {quoted(highest)}")
        both = low is not None and low.high > low.low and is_range(lowest, context)
        top = high.high if high else low.high if low and both else None
        return low.low if low else None, top

    def amount(self, name: str, text: str, currency: str) -> Money:
        """An amount in the currency of its column, of its text, or the one given."""
        code = self.row.get("ceiling_currency") or ("" if SIGNED.search(text) else currency)
        return named(name, lambda cell: money(cell, code, self.file.mark, self.file.context, kind=name), text)

    def yes(self, name: str, text: str, *, or_any: bool = False) -> bool:
        """Yes or no, perhaps any."""
        if or_any and means(text, "any", self.file.context.words):
            return False
        return named(f"{name} cell", lambda cell: yes(cell, self.file.context), text)

    def whole(self, name: str, text: str) -> int:
        """A whole number with any group mark."""
        return named(name, lambda cell: count(cell, self.file.context), text)

    def problems(self, text: str) -> Literal["", "none", "any"]:
        """`any`, or `none` in any of the languages."""
        words = self.file.context.words
        return "any" if means(text, "any", words) else "none" if means(text, "no", words) else problems(text)

    def traits(self, text: str) -> tuple[str, ...]:
        """`RD, not weak`."""
        return traits_typed(text, traits_from(self.file.context.words["traits"]))


WANTS = Kind(
    "a want-list",
    (*COIN, ("min_grade", "title"), ("ceiling",)),
    lambda file: _WantRows(file).read,
    amounts=AMOUNTS,
    same=lambda want: want.id,
    again=lambda want: f"the want {want.id}",
)
