"""What follows a change of the want-list, made in a form or on the list."""

from __future__ import annotations

from watchlist.desk.due import MARKS
from watchlist.screens.program import Program


def wants_changed(program: Program, said: str) -> None:
    """It is said, undo can take it back, and all open lots are judged anew in the background."""
    program.changes.happened(all=True)
    program.messages.say_undoable(said)
    program.follow_ups.settle(MARKS, "Marking all lots again")
