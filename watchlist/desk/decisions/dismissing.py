"""A sign of doubt set aside by the person, or restored: a decision, and the lot is marked again at once."""

from __future__ import annotations

from dataclasses import dataclass

from watchlist.core.decisions.review import Decision, Verb
from watchlist.core.marks.record import Judgement
from watchlist.core.marks.signnames import signs_of
from watchlist.desk.changes import append, batch_name
from watchlist.desk.desk import Desk
from watchlist.desk.due import Due
from watchlist.desk.errors import DeskError
from watchlist.desk.judging.judging import DISMISSED
from watchlist.desk.settling import settle

VERBS: frozenset[Verb] = frozenset({"dismiss", "restore"})


@dataclass(frozen=True, slots=True)
class Dismissal:
    """What became of a sign, and of its lot."""

    sign: str
    """In words."""
    dismissed: bool
    """Else it was restored."""
    judgement: Judgement


def dismiss(desk: Desk, lot: str, sign: str, note: str) -> Dismissal:
    """Dismiss the sign with these words, or restore it where it was dismissed. Raises DeskError when there is none."""
    row = desk.shelf.store.lots.get(lot)
    found = next((each for each in signs_of(row.judgement) if each.text == sign), None) if row else None
    if found is None:
        raise DeskError(f"Lot {lot} has no sign `{sign}` any more. Nothing was changed.")
    gone = found.dismissed is None
    verb: Verb = "dismiss" if gone else "restore"
    kept_note = note if gone else found.dismissed or ""
    line = Decision(0, batch_name(), desk.now, verb, lot, target=found.name, note=kept_note)
    with desk.shelf.store.together():
        append(desk, [line])
        due = _note(desk, line, dismissed=gone)
    settle(desk, due)
    judged = desk.shelf.store.lots.get(lot)
    assert judged is not None
    assert judged.judgement is not None
    return Dismissal(sign, gone, judged.judgement)


def turn_back(desk: Desk, line: Decision, *, back: bool) -> Due:
    """Undo or redo a dismissal or a restoring, inside the transaction of who asks; the lot is to be judged anew."""
    return _note(desk, line, dismissed=(line.verb == "dismiss") != back)


def _note(desk: Desk, line: Decision, *, dismissed: bool) -> Due:
    """Keep how a sign stands; its lot has to be judged anew."""
    due = Due(marks_of=frozenset({line.lot}))
    desk.owed.add(due)
    data = {"sign": line.target, "note": line.note, "restored": not dismissed}
    desk.shelf.store.findings.add(DISMISSED, line.lot, desk.now, data)
    return due
