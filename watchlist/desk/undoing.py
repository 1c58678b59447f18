"""Undo and redo: decisions are turned back in the order in which they were made, also those of another day."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from watchlist.core.decisions import review
from watchlist.core.decisions.results import fill
from watchlist.core.decisions.review import Decision, Review, Verb
from watchlist.desk import changes
from watchlist.desk.changes import batch_name
from watchlist.desk.decisions import dismissing
from watchlist.desk.desk import Desk
from watchlist.desk.due import NOTHING, Due
from watchlist.desk.errors import DeskError
from watchlist.desk.naming import short_key
from watchlist.desk.plan.bid_list import held_for
from watchlist.desk.prices import weighing
from watchlist.desk.recording import Decided, set_states
from watchlist.desk.results import results
from watchlist.page import turned
from watchlist.page.piece import piece
from watchlist.shelf.store.rows import LotRow


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
    keys = tuple(dict.fromkeys(each.lot for each in lots))
    entry, stood = _entry(desk, decisions, keys), _stood(desk, keys)
    follows: list[str] = []
    with store.together():
        store.decisions.add([replace(turn, who=desk.shelf.who)])
        set_states(desk, keys, _standing(desk, lots, before, turn))
        due = changes.turn(desk, turn.target, back=back)
        for line in decisions:
            more, aside = _turn_aside(desk, line, back=back)
            follows, due = [*follows, *more], due | aside
        due |= results.follow(desk, [each.lot for each in lots if each.verb in results.SETTLES]).due
    said = f"{'Undone' if back else 'Redone'}: {entry}"
    changes.finish(desk, said)
    states = any(each.verb not in review.ASIDE or each.verb in results.SETTLES for each in lots)
    follows += [turned.paid(line, back=back) for line in decisions if keys and line.verb == "paid"]
    follows += turned.follows(len(keys) if states else 0, _stood(desk, keys), stood)
    return Decided(keys, ". ".join([said, *follows]), due=due)


def _entry(desk: Desk, decisions: Sequence[Decision], keys: Sequence[str]) -> str:
    """The stroke in words."""
    store, line = desk.shelf.store, decisions[-1]
    if any(each.amount != line.amount for each in decisions):
        line = replace(line, amount=None)  # each lot its own, as those of a plan
    rows = {key: store.lots.get(key) for key in keys}
    named = {key: (short_key(store, key), _coin(desk, row) if row else "") for key, row in rows.items()}
    verb = {each.lot: each.verb for each in decisions if each.verb != line.verb}
    verb |= {each.lot: line.verb for each in decisions if each.verb == line.verb}
    others: dict[Verb, list[turned.Lot]] = {}  # as lots that a plan left out
    for key in keys:
        others.setdefault(verb[key], []).append(named[key])
    lots = others.pop(line.verb, [])
    sale = f"sale {line.target}" if line.verb == "weigh" else ""
    return turned.entry(line, lots, sale, desk.settings.home.time_zone, others)


def _coin(desk: Desk, row: LotRow) -> str:
    """The piece as it was read; one issue is asked for, for this is done at a key."""
    judged = row.judgement
    issue = desk.shelf.store.catalogue.issue(judged.issue) if judged and judged.issue else None
    low, high = (judged.grade_low, judged.grade_high) if judged else (None, None)
    return piece(issue, row.lot.title, low, high, details=row.reading.details)


def _stood(desk: Desk, keys: Sequence[str]) -> turned.Stood:
    """How these lots stand now."""
    standing = desk.shelf.store.decisions.review().lots
    wants, bought = desk.shelf.notebook.wants.list(), desk.bought
    alone = keys[0] if len(keys) == 1 else ""
    line = desk.shelf.store.listing.line(alone) if alone else None
    return turned.Stood(
        line.state if line else "removed",
        standing.get(alone),
        held_for(desk, keys),
        sum(desk.shelf.store.results.of(key) is not None for key in keys),
        frozenset(want.id for want in wants),
        frozenset(want.id for want in wants if fill(want, bought.get(want.id, 0)).asking),
    )


def _standing(desk: Desk, lots: Sequence[Decision], before: Review, turn: Decision) -> Mapping[str, review.Standing]:
    """Where the lots stand with the batch turned round."""
    touched, in_force = {each.lot for each in lots}, {*before.done} ^ {turn.target}
    told = desk.shelf.store.decisions.all()
    return review.fold(each for each in told if each.lot in touched and each.batch in in_force).lots


def _turn_aside(desk: Desk, line: Decision, *, back: bool) -> tuple[list[str], Due]:
    """A weight or a sign turned round; what became of it, in sentences, and what has to follow."""
    if line.verb == "weigh":
        said, due = weighing.weigh_back(desk, line, back=back)
        return [said], due
    if line.verb in dismissing.VERBS:
        return [], dismissing.turn_back(desk, line, back=back)
    return [], NOTHING
