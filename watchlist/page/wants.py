"""A want in words."""

from __future__ import annotations

from watchlist.core.coins.issue import coin_date
from watchlist.core.marks.record import Want
from watchlist.page.wording import grades, money


def coin(want: Want) -> str:
    """The coin that is wanted: `Orvany 5 tor 1893-V, overdate`."""
    name = " ".join(filter(None, (want.country, want.denomination, coin_date(want.year, want.mint))))
    variety = "regular coin only" if want.variety == "" else want.variety
    return f"{name}, {variety}" if variety else name


def grade(want: Want) -> str:
    """The grades taken: `VF-30 up`, `XF-40 to AU-55`, with `cert.` where only certified pieces are."""
    words = grades(want.min_grade, want.max_grade or want.min_grade) or "any"
    words += "" if want.max_grade or want.min_grade is None else " up"
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
