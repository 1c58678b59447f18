"""Undo and redo: decisions are turned back in the order in which they were made, also those of another day."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from watchlist.core.decisions import review
from watchlist.core.decisions.review import Decision, Review
from watchlist.desk import changes, dismissing, results, weighing
from watchlist.desk.changes import batch_name
from watchlist.desk.desk import Desk
from watchlist.desk.due import NOTHING, Due
from watchlist.desk.errors import DeskError
from watchlist.desk.recording import Decided, set_states

TOLD = 3
"""Decisions that are named one by one."""


def undo(desk: Desk) -> Decided:
    """Turn back the last decision. Raises DeskError when there is none."""
    return _turn(desk, back=True)


def redo(desk: Desk) -> Decided:
    """Restore what the last undo turned back. Raises DeskError when there is nothing."""
    return _turn(desk, back=False)


def judges_anew(desk: Desk, *, back: bool) -> bool:
    """The next undo or redo has a lot to judge, which takes longer than a key may."""
    standing = desk.shelf.store.decisions.batches()
    names = standing.done if back else standing.undone
    return bool(names) and any(each.verb in dismissing.VERBS for each in desk.shelf.store.decisions.batch(names[-1]))


def _turn(desk: Desk, *, back: bool) -> Decided:
    store = desk.shelf.store
    before = store.decisions.batches()
    turn = (review.undo if back else review.redo)(before, batch=batch_name(), at=desk.now)
    if turn is None:
        raise DeskError("There is nothing to undo." if back else "There is nothing to redo.")
    decisions = store.decisions.batch(turn.target)
    lots = [each for each in decisions if each.lot]
    said = [f"{each.lot} {each.verb}" for each in lots[:TOLD]]
    with store.together():
        store.decisions.add([turn])
        set_states(desk, [each.lot for each in lots], _standing(desk, lots, before, turn))
        due = changes.turn(desk, turn.target, back=back)
        for line in decisions:
            words, more = _turn_aside(desk, line, back=back)
            said, due = [*said, *words], due | more
        due |= results.follow(desk, [each.lot for each in lots if each.verb in results.SETTLES]).due
    rest = f" and {len(lots) - TOLD} more" if len(lots) > TOLD else ""
    what = f"{'undone' if back else 'restored'}: {', '.join(said)}{rest}"
    changes.finish(desk, what)
    return Decided(tuple(each.lot for each in lots), what, due=due)


def _standing(desk: Desk, lots: Sequence[Decision], before: Review, turn: Decision) -> Mapping[str, review.Standing]:
    """Where the lots stand with the batch turned round."""
    touched, in_force = {each.lot for each in lots}, {*before.done} ^ {turn.target}
    told = desk.shelf.store.decisions.all()
    return review.fold(each for each in told if each.lot in touched and each.batch in in_force).lots


def _turn_aside(desk: Desk, line: Decision, *, back: bool) -> tuple[Iterable[str], Due]:
    """What is no decision on a lot turned round, in words, and what has to follow."""
    if line.verb == "weigh":
        said, due = weighing.weigh_back(desk, line, back=back)
        return [said], due
    if line.verb == "bench" and not line.lot:
        return ["check of a piece"], NOTHING
    if line.verb == "change":
        return [line.note], NOTHING
    if line.verb == "remind":
        return [f"date {line.note.partition(chr(10))[0]}"], NOTHING
    if line.verb in dismissing.VERBS:
        return [], dismissing.turn_back(desk, line, back=back)
    return [], NOTHING
