"""What a person notes beside decisions: a question sent to a seller, its answer, a date of their own."""

from __future__ import annotations

from watchlist.core.clean import clean
from watchlist.core.decisions.review import Decision, Verb
from watchlist.core.typed.day import day_typed
from watchlist.desk.changes import append, batch_name
from watchlist.desk.desk import Desk
from watchlist.desk.errors import DeskError, refusing
from watchlist.desk.recording import Decided, lot_of

LONGEST = 2000
"""Letters of a note that are kept."""


def ask(desk: Desk, key: str, text: str) -> Decided:
    """Note that a question was sent to the seller of a lot, on this day."""
    return _note(desk, "ask", key, text)


def answered(desk: Desk, key: str, text: str) -> Decided:
    """Note that the seller has answered all that was asked about a lot. Raises DeskError where nothing was asked."""
    lot = lot_of(desk, key).lot.key
    said = [each for each in desk.shelf.store.decisions.in_force("ask", "answered") if each.lot == lot]
    if not said or said[-1].verb != "ask":
        raise DeskError(f"No question about {lot} waits for an answer. Nothing was written; --asked TEXT notes one.")
    return _note(desk, "answered", key, text)


def _note(desk: Desk, verb: Verb, key: str, text: str) -> Decided:
    lot = lot_of(desk, key).lot.key
    words = clean(text, LONGEST).strip()
    if verb == "ask" and not words:
        raise DeskError("A question needs its words. Nothing was written.")
    append(desk, [Decision(0, batch_name(), desk.now, verb, lot, note=words)])
    return Decided(
        (lot,), f"{lot}: {'question' if verb == 'ask' else 'answer'} noted, {desk.local_today().isoformat()}"
    )


def remind(desk: Desk, text: str, day: str) -> Decided:
    """Write a date of one's own into the calendar. Raises DeskError for a day that cannot be read or has passed."""
    with refusing("Nothing was written."):
        when = day_typed(day, desk.words, desk.now, desk.settings.home.time_zone)
    words = clean(text).strip()
    if not words:
        raise DeskError("A date needs its words, such as `watchlist calendar add TEXT DAY`. Nothing was written.")
    if when.day < desk.local_today():
        raise DeskError(f"{when.day.isoformat()} has passed. Nothing was written.")
    target = when.at.isoformat() if when.at else when.day.isoformat()
    note = f"{words}\n{when.note}" if when.note and when.at is None else words
    append(desk, [Decision(0, batch_name(), desk.now, "remind", "", target=target, note=note)])
    warnings = (f"on {when.day.isoformat()} {when.note}",) if when.note else ()
    return Decided((), f"{words}: in the calendar on {when.day.isoformat()}", warnings)
