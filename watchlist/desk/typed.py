"""Words typed for one field: a yes, one of a few, a grade, an amount. What is none of them is refused by name."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from typing import Any

from watchlist.core.coins.grades import GradeRead, read_grade
from watchlist.core.money.amount import Money
from watchlist.desk.desk import Desk
from watchlist.desk.errors import DeskError

YES = frozenset({"yes", "y", "true", "1"})
NO = frozenset({"", "no", "n", "false", "0"})
AROUND = " .,;()[]`'\""
"""May stand around a grade without being a part of it."""


def is_yes(field: str, text: str, *, or_any: bool = False) -> bool:
    """Whether yes was typed; nothing is no, and so is `any` where that may be said. Raises DeskError for all else."""
    word = text.strip().casefold()
    if word in YES:
        return True
    if word in NO or (or_any and word == "any"):
        return False
    raise DeskError(
        f"{_first(field)} is {'yes, no or any' if or_any else 'yes or no'}, not `{text}`. Nothing was changed."
    )


def one_of(field: str, text: str, known: Collection[str], *, after: str = "Nothing was changed.") -> str:
    """The one of a few words that was typed, whatever its case; empty stays empty. Raises DeskError for all else."""
    word = text.strip().casefold()
    if word and word not in known:
        *first, last = known
        raise DeskError(f"{_first(field)} is {', '.join(first)} or {last}, not `{text}`. {after}")
    return word


def whole_grade(text: str, tables: Mapping[str, Any]) -> GradeRead | None:
    """The grade that the words are as a whole; None when they are none, or only hold one: `fine-ish`."""
    found = read_grade(text, tables=tables)
    if found is None or found.text.strip(AROUND).casefold() != text.strip(AROUND).casefold():
        return None
    return found


def above_zero(desk: Desk, text: str, currency: str, what: str) -> Money:
    """An amount; without a currency it is in this one. Raises MoneyError, and DeskError for nothing or less."""
    paid = Money.parse(text, default=currency, codes=desk.currencies)
    if paid.amount <= 0:
        raise DeskError(f"A {what} is above zero, not {paid}. Nothing was written.")
    return paid


def _first(field: str) -> str:
    return f"{field[:1].upper()}{field[1:]}"
