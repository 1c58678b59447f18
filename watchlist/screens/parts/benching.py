"""The way to the bench, from a lot or a coin."""

from __future__ import annotations

from watchlist.desk.errors import DeskError
from watchlist.desk.held.bench import Bench, subject
from watchlist.screens.program import Program


def open_bench(program: Program, words: str) -> None:
    """The form of the piece that a key or a coin means; where there is none, why."""
    desk = program.access.desk
    try:
        program.windows.open("bench form", Bench(desk, subject(desk, words)))
    except DeskError as error:
        program.messages.say(str(error))
