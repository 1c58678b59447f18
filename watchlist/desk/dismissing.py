"""A sign of doubt set aside by the person, or restored: a decision, and the lot is judged anew at once."""

from __future__ import annotations

import uuid
from dataclasses import dataclass

from watchlist.core.decisions.review import Decision, Verb
from watchlist.core.marks.record import Judgement, Sign
from watchlist.desk import judging
from watchlist.desk.desk import Desk
from watchlist.desk.errors import DeskError
from watchlist.shelf.store.rows import LotRow

VERBS: frozenset[Verb] = frozenset({"dismiss", "restore"})


@dataclass(frozen=True, slots=True)
class Dismissal:
    """What became of a sign, and of its lot."""

    sign: str
    """In words."""
    dismissed: bool
    """Else it was restored."""
    judgement: Judgement


def signs_of(row: LotRow) -> tuple[Sign, ...]:
    """The signs of a lot that can be dismissed or restored, in the order of its reasons."""
    judged = row.judgement
    if judged is None:
        return ()
    shown = [reason.text for reason in judged.reasons if reason.strength]
    signs = {sign.text: sign for sign in (*judged.doubt.signs, *judged.doubt.dismissed)}
    return tuple(signs[text] for text in shown if text in signs)


def dismiss(desk: Desk, lot: str, sign: str, note: str) -> Dismissal:
    """Dismiss the sign with these words, or restore it where it was dismissed. Raises DeskError when there is none."""
    row = desk.shelf.store.lots.get(lot)
    found = next((each for each in signs_of(row) if each.text == sign), None) if row else None
    if found is None:
        raise DeskError(f"Lot {lot} has no sign `{sign}` any more. Nothing was changed.")
    gone = found.dismissed is None
    verb: Verb = "dismiss" if gone else "restore"
    line = Decision(
        0, uuid.uuid4().hex[:12], desk.now, verb, lot, target=found.name, note=note if gone else found.dismissed or ""
    )
    with desk.shelf.store.together():
        desk.shelf.store.decisions.add([line])
        judged = _set(desk, line, dismissed=gone)
    assert judged is not None
    return Dismissal(sign, gone, judged)


def turn_back(desk: Desk, line: Decision, *, back: bool) -> None:
    """Undo or redo a dismissal or a restoring."""
    with desk.shelf.store.together():
        _set(desk, line, dismissed=(line.verb == "dismiss") != back)


def _set(desk: Desk, line: Decision, *, dismissed: bool) -> Judgement | None:
    """Note how a sign stands and judge its lot anew."""
    store = desk.shelf.store
    data = {"sign": line.target, "note": line.note, "restored": not dismissed}
    store.findings.add(judging.DISMISSED, line.lot, desk.now, data)
    row = store.lots.get(line.lot)
    judged = judging.Judge(desk).judge(row).judgement if row else None
    if judged is not None:
        store.lots.judge([(line.lot, judged)])
    return judged
