"""A parcel in words: what it costs, and its course since the hammer."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from watchlist.core.fees.terms import Terms
from watchlist.core.held.deadlines import deadlines
from watchlist.core.held.parcel import ParcelShown
from watchlist.core.money.amount import Money
from watchlist.page.deadlines import last_day


def summary(each: ParcelShown) -> str:
    """`P12 Wexby Sales: 412.30 EUR all in if all win, 9 EUR less than each alone (planned)`; `.. all in as paid`."""
    cost = f"{each.cost} all in{_rests(each)}" if each.cost else "cost unknown"
    saves = each.saved and each.saved.amount > 0 and not each.assumed and each.told is None
    saved = f", {each.saved} less than each alone" if saves else ""
    sale = f", {each.sale}" if each.sale else ""
    return f"{each.id} {each.venue}{sale}: {cost}{saved} ({each.state})"


def _rests(each: ParcelShown) -> str:
    """What the cost rests on."""
    if each.told is not None:
        return " by its invoice" if each.course and each.course.owed else " as paid"
    if each.course is not None and (each.course.invoiced or each.course.payments):
        return " as calculated"
    return " if all win" if any(lot.stage != "won" for lot in each.lots) else ""


def since(each: ParcelShown, terms: Terms | None, home: str, today: date) -> Iterator[str]:
    """What was said of it since the hammer, and what is to be done by when. `terms`: of its venue."""
    course = each.course
    if course is None:
        return
    if course.invoiced is not None:
        number = f" {course.number}" if course.number else ""
        yield f"Invoice{number} of {course.invoiced_on}: {course.invoiced}"
    if course.payments:
        left = f", {course.owed} owed" if course.owed else ""
        yield f"Paid {Money(course.paid, home)}{left}"
    if each.refund:
        yield "A piece of it went back, and no refund is recorded yet"
    for last in deadlines(course, terms, waits=each.waits):
        yield last_day(last, today)
