"""What changed since the last edition of a guide."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Literal

from watchlist.core.fees.ladders import Ladder
from watchlist.core.guide.record import Column, Guide
from watchlist.core.guide.rounding import rounded

Move = Literal["up", "down", "new", "withdrawn"]
Printed = Mapping[str, Mapping[str, str]]
"""By key of the issue and name of the column: the figure that was printed, in home currency."""


@dataclass(frozen=True, slots=True)
class Change:
    """One figure that is another one now."""

    issue: str
    """Key of the issue."""
    column: str
    move: Move
    before: Decimal | None
    after: Decimal | None


def column_name(column: Column) -> str:
    """`40 raw`, as an edition names it."""
    return f"{column.grade} {'raw' if column.raw else 'certified'}"


def changes(last: Printed, now: Printed, columns: Sequence[str]) -> Iterator[Change]:
    """The figures that moved, came or went, in the columns that both editions have."""
    shared = [name for name in columns if any(name in row for row in last.values())]
    for issue in dict.fromkeys((*last, *now)):
        for column in shared:
            before, after = (_amount(edition, issue, column) for edition in (last, now))
            if before != after:
                yield Change(issue, column, _move(before, after), before, after)


def _amount(edition: Printed, issue: str, column: str) -> Decimal | None:
    text = edition.get(issue, {}).get(column)
    return Decimal(text) if text else None


def _move(before: Decimal | None, after: Decimal | None) -> Move:
    if before is None or after is None:
        return "new" if before is None else "withdrawn"
    return "up" if after > before else "down"


def printed(guide: Guide, by: Ladder | None) -> dict[str, dict[str, str]]:
    """An edition as it is kept: the figures as they were rounded."""
    return {
        entry.issue.key: {
            column_name(column): f"{rounded(figure.median, by):f}" for column, figure in entry.figures.items()
        }
        for entry in guide.entries
    }
