"""What follows a change of the want-list, made in a form or on the list."""

from __future__ import annotations

from watchlist.core.marks.record import Want
from watchlist.desk.desk import Desk
from watchlist.desk.wanting import drop_want, judge_wants, keep_want
from watchlist.screens.program import Program


def put_back(desk: Desk, id: str, want: Want | None) -> None:
    """The want as it was before it was dropped or changed; without one it was new, and is dropped."""
    if want is None:
        drop_want(desk, id)
    else:
        keep_want(desk, want)


def wants_changed(program: Program, said: str, words: str, id: str, was: Want | None) -> None:
    """It is said, undo can take it back, and all open lots are judged anew in the background."""
    program.changes.happened(all=True)
    program.messages.say(said)
    program.follow_ups.marks(judge_wants, "Judging all lots anew")
    program.writer.can_take_back(words, lambda desk: put_back(desk, id, was), judge_wants)
