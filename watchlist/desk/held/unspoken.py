"""Wins of which nothing was said since: how many there are, and all of them kept in one entry."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta

from watchlist.core.decisions.review import OWN, Decision
from watchlist.core.held.piece import Won
from watchlist.desk.amounts import day_of
from watchlist.desk.changes import append, batch_name
from watchlist.desk.desk import Desk
from watchlist.desk.errors import DeskError, TooMuch
from watchlist.desk.in_hand import courses
from watchlist.desk.in_hand.hands import KEPT_DAYS
from watchlist.desk.recording import Decided
from watchlist.page.dates import in_full
from watchlist.page.held import owed_still
from watchlist.page.wording import count

NAMED = 3
"""Pieces that are named one by one."""


def unspoken(desk: Desk, before: date) -> list[Won]:
    """The wins of before a day that still count as owed and that no invoice names."""
    known = courses.told(desk)
    there = courses.closed(known)
    standing = desk.shelf.store.decisions.review().lots
    won = (key for key, each in standing.items() if each.state == "won" and key not in there)
    keys = {key for key in won if known.piece(key).state == "won"}
    return [each for each in courses.wins(desk, keys) if each.line.target != OWN and each.day < before]


def told(desk: Desk) -> str:
    """What is to be done about wins of long ago that count as owed; empty where there are none."""
    day = desk.local_today() - timedelta(days=KEPT_DAYS)
    found = unspoken(desk, day)
    return owed_still(len(found), day) if found else ""


def keep(desk: Desk, before: str, *, on: str = "", anyway: bool = False) -> Decided:
    """Write of all wins before a day, of which nothing was said, that they are kept: they count as paid. One entry.

    Raises DeskError where there are none, and TooMuch for pieces marked Doubt that were not checked unless `anyway`."""
    day, happened = day_of(desk, before), day_of(desk, on, "kept")
    found = unspoken(desk, day) if day else []
    if day is None or not found:
        raise DeskError("No win before that day counts as owed without an invoice. Nothing was written.")
    if happened is not None and (late := max(each.day for each in found)) > happened:
        raise DeskError(f"One of them was won on {in_full(late)}, after {in_full(happened)}. Nothing was written.")
    doubtful = [each for each in found if each.judged is not None and each.judged.mark == "doubt"]
    asked = (_not_checked(doubtful),) if doubtful else ()
    if asked and not anyway:
        raise TooMuch(f"{asked[0]}. Nothing was written; --anyway writes it even so.")
    batch = batch_name()
    append(desk, [Decision(0, batch, desk.now, "kept", each.key, day=happened) for each in found])
    said = f"{count(len(found), 'win')} of before {in_full(day)}: kept, so counted as paid"
    return Decided(tuple(each.key for each in found), said, asked)


def _not_checked(found: Sequence[Won]) -> str:
    """`S-003, S-007 and 4 more are marked Doubt and were not checked: ...`"""
    named = ", ".join(each.stock_no for each in found[:NAMED])
    more = f" and {len(found) - NAMED} more" if len(found) > NAMED else ""
    verb = "is" if len(found) == 1 else "are"
    return f"{named}{more} {verb} marked Doubt and {'was' if len(found) == 1 else 'were'} not checked"
