"""Questions sent to sellers: which wait for an answer, and what was said of a lot."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from watchlist.core.decisions.review import Decision
from watchlist.desk.desk import Desk
from watchlist.page.dates import day_words


@dataclass(frozen=True, slots=True)
class Question:
    """A question to a seller that waits for its answer."""

    lot: str
    text: str
    day: date
    """When it was sent."""


def unanswered(desk: Desk) -> tuple[Question, ...]:
    """The questions that wait, oldest first; of a lot that can be had no more none is asked."""
    waiting: dict[str, list[Decision]] = {}
    for line in desk.shelf.store.decisions.in_force("ask", "answered"):
        if line.verb == "ask":
            waiting.setdefault(line.lot, []).append(line)
        else:
            waiting.pop(line.lot, None)
    zone = desk.settings.home.zone
    over = {key for key in waiting if _is_over(desk, key)}
    asked = sorted((line for key, lines in waiting.items() if key not in over for line in lines), key=lambda e: e.seq)
    return tuple(Question(line.lot, line.note, line.at.astimezone(zone).date()) for line in asked)


def _is_over(desk: Desk, key: str) -> bool:
    line = desk.shelf.store.listing.line(key)
    return line is None or line.state in ("won", "lost", "ended", "skipped") or line.kind == "ended"


def said_of(desk: Desk, key: str) -> list[str]:
    """`Asked Tue 3 Mar: ...`, `Answered Wed 4 Mar: ...`, in the order in which it was noted."""
    zone = desk.settings.home.zone
    lines = [line for line in desk.shelf.store.decisions.in_force("ask", "answered") if line.lot == key]
    words = {"ask": "Asked", "answered": "Answered"}
    return [f"{words[line.verb]} {day_words(line.at.astimezone(zone).date())}: {line.note or 'yes'}" for line in lines]
