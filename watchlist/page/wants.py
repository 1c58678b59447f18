"""A want in words."""

from __future__ import annotations

from watchlist.core.marks.record import Want
from watchlist.page.wording import grades, money


def coin(want: Want) -> str:
    """The coin that is wanted: `Orvany 5 tor 1893-V, overdate`."""
    mint = f"-{want.mint}" if want.mint else ""
    year = f"{-want.year} BC" if want.year < 0 else str(want.year)
    name = " ".join(filter(None, (want.country, want.denomination, f"{year}{mint}")))
    return f"{name}, {want.variety}" if want.variety else name


def grade(want: Want) -> str:
    """The grades taken: `VF-30 up`, `XF-40 to AU-55`, with `cert.` where only certified pieces are."""
    if want.min_grade is None:
        words = "any"
    else:
        words = (
            grades(want.min_grade, want.max_grade) if want.max_grade else f"{grades(want.min_grade, want.min_grade)} up"
        )
    return f"{words} cert." if want.certified else words


def state(want: Want) -> str:
    """How far it is filled: `1/2`, `1/1 upgrade`, `filled`."""
    if not want.asking:
        return "filled"
    return f"{want.filled}/{want.quantity}{' upgrade' if want.upgrade else ''}"


def line(want: Want) -> str:
    """The want on one line."""
    ceiling = f", up to {money(want.ceiling)} all in" if want.ceiling else ""
    note = f". {want.note}" if want.note else ""
    filled = state(want) if not want.asking else f"{want.filled} of {want.quantity} filled"
    more = ", upgrade" if want.asking and want.upgrade else ""
    return f"{coin(want)}, {grade(want)}{ceiling}, {filled}{more}{note}"
