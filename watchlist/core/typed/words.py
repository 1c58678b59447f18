"""Single words as a person types them: a yes, one of a few, a number, a range of grades. Others are refused."""

from __future__ import annotations

import re
from collections.abc import Collection, Mapping
from typing import Any

from watchlist.core.coins.grades import GradeRead, read_grade

YES = frozenset({"yes", "y", "true", "1"})
NO = frozenset({"", "no", "n", "false", "0"})
WHOLE = re.compile(r"-?\d{1,9}", re.ASCII)
FIGURE = re.compile(r"\d{1,9}", re.ASCII)
AROUND = " .,;()[]`'\""
"""May stand around a grade without being a part of it."""
BETWEEN = re.compile(r"\s*-\s*(?=[^\W\d])|\s+to\s+", re.IGNORECASE)
"""Between two grades in words; the dash of `VF-30` is none."""
HIGHEST = 70


class TypedError(ValueError):
    """Words that cannot be taken: one sentence without its stop, which says what is wrong and what to write. What stays
    true is added by who asked for them."""

    @property
    def clause(self) -> str:
        """The sentence as a part of another."""
        text = str(self)
        return f"{text[:1].lower()}{text[1:]}"


def is_yes(field: str, text: str, *, or_any: bool = False) -> bool:
    """Whether yes was typed; nothing is no, and so is `any` where that may be said. Raises TypedError for all else."""
    word = text.strip().casefold()
    if word in YES:
        return True
    if word in NO or (or_any and word == "any"):
        return False
    raise TypedError(f"{_first(field)} is {'yes, no or any' if or_any else 'yes or no'}, not `{text}`")


def one_of(field: str, text: str, known: Collection[str]) -> str:
    """The one of a few words that was typed, whatever its case; empty stays empty. Raises TypedError for all else."""
    word = text.strip().casefold()
    if word and word not in known:
        *first, last = known
        raise TypedError(f"{_first(field)} is {', '.join(first)} or {last}, not `{text}`")
    return word


def whole(field: str, text: str) -> int:
    """A whole number; raises TypedError."""
    if not WHOLE.fullmatch(text.strip()):
        raise TypedError(f"{_first(field)} is a whole number, not `{text}`")
    return int(text.strip())


def whole_grade(text: str, tables: Mapping[str, Any]) -> GradeRead | None:
    """The grade that the words are as a whole; None when they are none, or only hold one: `fine-ish`."""
    found = read_grade(text, tables=tables)
    if found is None or found.text.strip(AROUND).casefold() != text.strip(AROUND).casefold():
        return None
    return found


def grade_range(text: str, tables: Mapping[str, Any]) -> tuple[int, int | None]:
    """`40-55`, `VF-30`, `VF`; one number is a floor without a top. Raises TypedError."""
    low, high = _figures(text) or _in_words(text, tables)
    if not 1 <= low <= (high or HIGHEST) <= HIGHEST:
        raise TypedError(f"`{text}` is not a valid range of the 70-point scale")
    return low, high


def wanted_range(text: str, tables: Mapping[str, Any]) -> tuple[int, int | None]:
    """The same, and `VF-XF` or `VF to XF`: of a want all from the one to the other, where a title means between them.

    Raises TypedError."""
    match [whole_grade(word, tables) for word in BETWEEN.split(text.strip())]:
        case [GradeRead(low=int(low)), GradeRead(high=int(high))]:
            return grade_range(f"{low}-{high}", tables)
        case _:
            return grade_range(text, tables)


def _figures(text: str) -> tuple[int, int | None] | None:
    """`40-55` or `40`; None for anything else."""
    low, dash, high = text.replace(" ", "").partition("-")
    if not FIGURE.fullmatch(low) or not (FIGURE.fullmatch(high) or not dash):
        return None
    return int(low), int(high) if dash else None


def _in_words(text: str, tables: Mapping[str, Any]) -> tuple[int, int | None]:
    found = whole_grade(text, tables)
    if found is None or found.low is None or found.high is None:
        raise TypedError(f"`{text}` is not a valid grade: write 40-55, VF-30 or VF")
    return found.low, found.high if found.high != found.low else None


def _first(field: str) -> str:
    return f"{field[:1].upper()}{field[1:]}"
