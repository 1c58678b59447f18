"""One lot as a row of the Tray: which columns fit, and what stands in them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from functools import lru_cache
from typing import Protocol

from watchlist.core.clean import clean
from watchlist.core.coins.scale import grade_word
from watchlist.core.marks.record import SIGNS
from watchlist.core.sift.filter import Row
from watchlist.page.columns import beginning, cells, cut, pad
from watchlist.page.wording import gap_cell, time_left

STATES = {"new": "*", "followed": "f", "skipped": "x", "bid": "b", "won": "w", "lost": "l", "ended": "e"}
"""Letters of the states; a seen lot has none."""
ROLES: dict[str, str] = {"bargain": "bargain", "doubt": "doubt", "over": "over", "copy": "doubt"}
"""Marks that colour repeats."""
LEAST_TITLE = 24
TAIL = (("all-in", 8), ("grade", 11), ("gap", 6), ("venue", 16))
"""Columns behind the title in the order in which they are kept as the row gets narrow."""
ORDER = ("grade", "all-in", "gap", "venue")


class Line(Row, Protocol):
    """What a row shows of a lot: all that a filter looks at, and its grades."""

    @property
    def grade_low(self) -> int | None: ...  # noqa: D102
    @property
    def grade_high(self) -> int | None: ...  # noqa: D102
    @property
    def details(self) -> bool: ...  # noqa: D102


@dataclass(frozen=True, slots=True)
class Columns:
    """The columns of a list this wide."""

    width: int
    tail: tuple[tuple[str, int], ...]

    @property
    def lead(self) -> int:
        """Cells before the title."""
        return 13 if self.width >= 40 else 10

    @property
    def title(self) -> int:
        """Cells of the title."""
        return max(self.width - self.lead - sum(wide + 2 for _, wide in self.tail), 0)


@lru_cache(maxsize=64)
def columns_for(width: int) -> Columns:
    """Mark, state, time and title always; then cost, grade, gap and venue as far as the title keeps its room."""
    kept: list[tuple[str, int]] = []
    room = width - 13 - LEAST_TITLE
    for name, wide in TAIL:
        if room < wide + 2 + (12 if name == "venue" else 0):  # the title comes before the venue
            break
        kept.append((name, wide))
        room -= wide + 2
    return Columns(width, tuple(sorted(kept, key=lambda each: ORDER.index(each[0]))))


@lru_cache(maxsize=64)
def head(columns: Columns, order: str, down: bool) -> str:
    """The names of the columns; the one that orders the list has `^` or `v`."""
    by = {"closing": "closes", "all_in": "all-in"}.get(order, order)
    arrow = "v" if down else "^"

    def name(word: str, wide: int, *, right: bool = False) -> str:
        return pad(word + arrow if word == by else word, wide, right=right)

    at_mark = arrow if order == "mark" else " "
    lead = (" " if columns.lead == 13 else "") + at_mark
    gap = 2 if columns.lead == 13 else 1
    closes = pad("closes" + (arrow if by == "closes" else ""), columns.lead - len(lead) - gap, right=True)
    right = {"all-in", "gap"}
    tail = "".join("  " + name(word, wide, right=word in right) for word, wide in columns.tail)
    return pad(lead + closes, columns.lead) + name("title", columns.title) + tail


def row(line: Line, columns: Columns, now: datetime, *, sign: str = " ") -> list[tuple[str, str]]:
    """The pieces of a row with their roles: mark, then all the rest. `sign` stands before it: ticked, waiting."""
    mark = SIGNS[line.mark] if line.mark else " "
    state = STATES.get(line.state, " ")
    left = pad(time_left(line.closes, now) or ("fixed" if line.kind == "fixed" else ""), 7, right=True)
    role = ROLES.get(line.mark or "", "ink")
    weight = "!" if line.state == "new" else ""
    if columns.lead == 13:
        lead, rest = sign, f"{state} {left}  "
    else:
        lead, rest = sign.strip(), f"{'' if sign.strip() else ' '}{left} "
    tail = "".join("  " + _cell(line, name, wide) for name, wide in columns.tail)
    rest += clip(clean(line.title), columns.title) + tail
    if role == "ink":
        return [(f"ink{weight}", lead + mark + rest)]
    return [*([("ink", lead)] if lead else []), (f"{role}!", mark), (f"ink{weight}", rest)]


def head_line(parts: Sequence[str], width: int) -> str:
    """The parts of the head line three blanks apart, as many as fit whole."""
    line = ""
    for part in filter(None, parts):
        longer = f"{line}   {part}" if line else part
        if cells(longer) > width:
            break
        line = longer
    return cut(line, width)


def clip(text: str, width: int) -> str:
    """The text in exactly so many cells: in a list every letter of a title counts, so a word may be cut."""
    if cells(text) <= width or width < 4:
        return pad(text, width)
    return pad(beginning(text, width - 2) + "..", width)


def _cell(line: Line, name: str, wide: int) -> str:
    if name == "all-in":
        return pad(f"{line.all_in:,.0f}" if line.all_in is not None else "-", wide, right=True)
    if name == "gap":
        return pad(gap_cell(line.gap), wide, right=True)
    if name == "venue":
        return pad(line.venue, wide)
    return pad(short_grades(line.grade_low, line.grade_high, details=line.details), wide)


def short_grades(low: int | None, high: int | None, *, details: bool = False) -> str:
    """A grade or a range in eleven cells: `VF-30`, `VF-20 to 40`, `XF details` (of a range the lowest), `-` without
    one. Two dots mean that text was cut."""
    if low is None or high is None:
        return "details" if details else "-"
    if details:
        return f"{grade_word(low).partition('-')[0]} details"
    return grade_word(low) if low == high else f"{grade_word(low)} to {high}"
