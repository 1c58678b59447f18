"""What follows a change of the want-list, made in a form or on the list."""

from __future__ import annotations

from watchlist.core.marks.record import Want
from watchlist.desk.due import MARKS
from watchlist.desk.wants import restore_want
from watchlist.screens.program import Program


def wants_changed(program: Program, said: str, words: str, id: str, was: Want | None) -> None:
    """It is said, undo can take it back, and all open lots are judged anew in the background."""
    program.changes.happened(all=True)
    program.messages.say(said)
    program.follow_ups.settle(MARKS, "Judging all lots anew")
    program.writer.can_take_back(words, lambda desk: restore_want(desk, id, was), MARKS)
