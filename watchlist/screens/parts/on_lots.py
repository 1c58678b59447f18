"""All that can be done to a lot, made of its parts; loaded with the first of them that a person does."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from watchlist.desk.desk import Desk
from watchlist.screens.parts.asking import Asking
from watchlist.screens.parts.benching import open_bench
from watchlist.screens.parts.copying import Copying
from watchlist.screens.parts.decisions import Chosen, Decisions, OnLots
from watchlist.screens.parts.dialogue import Dialogue
from watchlist.screens.parts.dismissals import Dismissals
from watchlist.screens.parts.dispatch import Doing
from watchlist.screens.parts.sellers import open_seller
from watchlist.screens.program import Program


@dataclass(frozen=True, slots=True)
class LotActions:
    """The parts that act on a lot."""

    decisions: Decisions
    doing: Doing
    """All of them, by the ids of the actions."""


def lot_actions(
    program: Program, lots: OnLots, dialogue: Dialogue, ticked: Callable[[], Chosen] = lambda: ()
) -> LotActions:
    """The parts for a screen that stands on lots."""
    writer, messages = program.writer, program.messages

    def desk() -> Desk:
        return program.access.desk

    def correct() -> None:
        row = lots.current()
        if row is None:  # ticked lots that a sift hides: one lot is corrected at a time
            messages.say("There is no lot here.")
        else:
            program.windows.open("correct form", row)

    def bench() -> None:
        row = lots.current()
        if row is not None:
            open_bench(program, row.lot.key)

    decisions = Decisions(lots, ticked, dialogue, writer, program.follow_ups, messages, desk)
    copying = Copying(lots.current, program.outside, messages, desk)
    dismissals = Dismissals(lots.current, dialogue, writer, program.changes, messages)
    asking = Asking(lots.current, dialogue, writer, program.changes, messages, desk)
    doing = {
        **decisions.doing(),
        **copying.doing(),
        **asking.doing(),
        "dismiss": dismissals.dismiss,
        "correct": correct,
        "bench": bench,
        "seller": lambda: open_seller(program, lots.current()),
    }
    return LotActions(decisions, doing)
