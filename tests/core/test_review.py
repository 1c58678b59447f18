from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.core.orvany import NOW, eur, later
from watchlist.core.decisions.review import (
    ASIDE,
    STAGES,
    STATES,
    Decision,
    Ledger,
    Review,
    Standing,
    Verb,
    decide,
    fold,
    redo,
    state_of,
    undo,
)

VERBS: tuple[Verb, ...] = (*STATES, "clear")


def one(verb: Verb, lot: str = "a", batch: str = "1", amount: int | None = None) -> Decision:
    return Decision(0, batch, NOW, verb, lot, None if amount is None else eur(amount))


def test_the_last_decision_counts() -> None:
    found = fold([one("follow"), one("bid", batch="2", amount=240), one("placed", batch="3")])
    standing = found.lots["a"]
    assert (standing.state, standing.stage, standing.amount) == ("bid", "placed", eur(240))
    assert fold([one("follow"), one("clear", batch="2")]).lots == {}


def test_fifty_lots_in_one_stroke_are_undone_in_one() -> None:
    strokes = decide("skip", [f"l{n}" for n in range(50)], batch="7", at=NOW)
    folded = fold([one("follow"), *strokes])
    assert len(folded.lots) == 51
    line = undo(folded, batch="8", at=NOW)
    assert line is not None
    back = fold([one("follow"), *strokes, line])
    assert set(back.lots) == {"a"}
    again = redo(back, batch="9", at=NOW)
    assert again is not None
    assert fold([one("follow"), *strokes, line, again]).lots == folded.lots


def test_a_new_decision_ends_redo() -> None:
    lines = [one("follow"), Decision(0, "u", NOW, "undo", "", target="1"), one("skip", batch="2")]
    assert redo(fold(lines), batch="x", at=NOW) is None
    assert undo(fold([]), batch="x", at=NOW) is None


def test_an_undo_of_an_unknown_batch_is_passed_over() -> None:
    assert fold([one("follow"), Decision(0, "u", NOW, "undo", "", target="nope")]).lots["a"].state == "followed"


@pytest.mark.parametrize(
    ("seen", "hours", "state"), [(False, None, "new"), (True, None, "seen"), (True, -1, "ended"), (False, 1, "new")]
)
def test_states_without_a_decision(seen: bool, hours: int | None, state: str) -> None:
    closes = None if hours is None else later(hours)
    assert state_of(None, seen=seen, closes=closes, now=NOW) == state


def test_a_decision_outlasts_the_closing() -> None:
    standing = fold([one("won", amount=200)]).lots["a"]
    assert state_of(standing, seen=True, closes=later(-5), now=NOW) == "won"
    assert standing.amount == eur(200)


def test_a_placed_bid_stays_placed_under_another_plan() -> None:
    placed = [one("bid", amount=200), one("placed", batch="2")]
    assert fold(placed).lots["a"].placed == eur(200)
    raised = fold([*placed, one("bid", batch="3", amount=220)]).lots["a"]
    assert (raised.stage, raised.amount, raised.placed) == ("planned", eur(220), eur(200))
    assert fold([*placed, one("bid", batch="3", amount=200)]).lots["a"].placed is None
    assert fold([*placed, one("outbid", batch="3")]).lots["a"].placed is None


LINES = st.lists(
    st.tuples(st.sampled_from([*VERBS, "undo", "redo"]), st.sampled_from("abc"), st.integers(1, 6)), max_size=14
)


def told(lines: list[tuple[Verb, str, int]]) -> list[Decision]:
    """Any list at all: batches may come again, undo may name anything."""
    return [
        Decision(n, f"x{n}", NOW, verb, "", target=str(batch))
        if verb in ("undo", "redo")
        else one(verb, lot, str(batch), batch)
        for n, (verb, lot, batch) in enumerate(lines)
    ]


@settings(max_examples=60, deadline=None)
@given(LINES)
def test_any_list_and_any_prefix_folds(lines: list[tuple[Verb, str, int]]) -> None:
    decisions = told(lines)
    for upto in range(len(decisions) + 1):
        found = fold(decisions[:upto])
        assert set(found.done).isdisjoint(found.undone)
        assert len(set(found.done)) == len(found.done)
        assert set(found.lots) <= {d.lot for d in decisions[:upto]}


def folded_at_length(decisions: list[Decision]) -> Review:
    """The fold, told from the beginning each time: strokes in force first, then what each lot has from them."""
    strokes: list[tuple[str, list[Decision]]] = []
    undone: list[tuple[str, list[Decision]]] = []
    for each in decisions:
        source, target = (strokes, undone) if each.verb == "undo" else (undone, strokes)
        if each.verb in ("undo", "redo"):
            if source and source[-1][0] == each.target:
                target.append(source.pop())
        elif each.batch in [name for name, _ in strokes]:
            next(made for name, made in strokes if name == each.batch).append(each)
        else:
            strokes.append((each.batch, [each]))
            undone = []
    lots: dict[str, Standing] = {}
    for each in [each for _, made in strokes for each in made if each.verb not in ASIDE]:
        before = lots.pop(each.lot, None)
        if each.verb in STATES:
            goes_on = ("placed", "acknowledged", "outbid", "cancelled")
            kept = before.amount if before and each.amount is None and each.verb in goes_on else each.amount
            raised = before is not None and each.verb == "bid" and before.placed not in (None, kept)
            lots[each.lot] = Standing(
                STATES[each.verb],
                STAGES.get(each.verb, ""),
                kept,
                each.at,
                each.note,
                placed={
                    "placed": kept,
                    "bid": before.placed if raised and before else None,
                    "acknowledged": (before.placed if before else None) or kept,
                }.get(each.verb),
                planned={
                    **dict.fromkeys(("bid", "buy", "offer"), kept),
                    **dict.fromkeys(("placed", "acknowledged"), before.planned if before else None),
                }.get(each.verb),
                acknowledged=kept
                if each.verb == "acknowledged"
                else before.acknowledged
                if before and (raised or each.verb == "placed")
                else None,
                after_sale=bool(
                    before and (before.stage == "unsold" or before.after_sale) and each.verb in ("buy", "offer")
                ),
            )
    return Review(lots, tuple(name for name, _ in strokes), tuple(name for name, _ in undone))


@settings(max_examples=300, deadline=None)
@given(LINES, st.lists(st.integers(1, 5), max_size=8))
def test_a_list_told_bit_by_bit_folds_as_in_one(lines: list[tuple[Verb, str, int]], steps: list[int]) -> None:
    decisions, ledger, at = told(lines), Ledger(), 0
    for step in [*steps, len(decisions)]:
        ledger.add(decisions[at : at + step])
        at += step
        assert ledger.review() == folded_at_length(decisions[:at])
        assert ledger.batches() == replace(ledger.review(), lots={})
        assert ledger.told == decisions[:at]


@settings(max_examples=60, deadline=None)
@given(LINES, st.sampled_from(VERBS), st.lists(st.sampled_from("abcd"), min_size=1, max_size=4))
def test_undo_of_do_changes_nothing(lines: list[tuple[Verb, str, int]], verb: Verb, lots: list[str]) -> None:
    before = told(lines)
    done = [*before, *decide(verb, lots, batch="new", at=NOW)]
    line = undo(fold(done), batch="u", at=NOW)
    assert line is not None
    assert line.target == "new"
    undone = fold([*done, line])
    assert undone.lots == fold(before).lots
    assert undone.done == fold(before).done
    again = redo(undone, batch="r", at=NOW)
    assert again is not None
    assert fold([*done, line, again]) == fold(done)


def test_undo_walks_back_to_the_start_and_redo_to_the_end() -> None:
    lines = [one(verb, batch=str(n)) for n, verb in enumerate(VERBS)]
    whole = fold(lines)
    states: list[Review] = [whole]
    while line := undo(fold(lines), batch="u", at=NOW):
        lines.append(replace(line, seq=len(lines)))
        states.append(fold(lines))
    assert states[-1].lots == {}
    while line := redo(fold(lines), batch="r", at=NOW):
        lines.append(line)
    assert fold(lines) == whole
