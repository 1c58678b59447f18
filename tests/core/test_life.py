"""A bid's life: which stage each word gives, what the budget holds, and that no order of words makes it lie."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.core.orvany import NOW, eur
from watchlist.core.decisions.life import binds, out_of_turn, promised, stage_now
from watchlist.core.decisions.review import STATES, Decision, Standing, Verb, fold, redo, undo

Word = tuple[Verb, int | None]


def told(*words: Word, lot: str = "a") -> list[Decision]:
    return [
        Decision(n, f"{lot}{n}", NOW, verb, lot, None if amount is None else eur(amount))
        for n, (verb, amount) in enumerate(words)
    ]


def after(*words: Word) -> Standing:
    return fold(told(*words)).lots["a"]


def holds(standing: Standing | None, *, over: bool = False) -> int:
    """What the budget holds, where each amount costs itself."""
    amounts = promised(standing, standing.amount if standing else None, over=over)
    return max((int(each.amount) for each in amounts), default=0) if binds(standing, over=over) else 0


@pytest.mark.parametrize(
    ("words", "stage", "held", "when_over", "held_over"),
    [
        ([("bid", 240)], "planned", 240, "not placed", 0),
        ([("buy", 90)], "buy", 90, "not placed", 0),
        ([("offer", 80)], "offer", 80, "undecided", 80),
        ([("bid", 240), ("placed", 230)], "placed", 240, "undecided", 240),
        ([("bid", 240), ("placed", 260)], "placed", 260, "undecided", 260),
        ([("placed", 260)], "placed", 260, "undecided", 260),
        ([("bid", 240), ("placed", None), ("acknowledged", 250)], "acknowledged", 250, "undecided", 250),
        ([("bid", 240), ("placed", None), ("acknowledged", 200)], "acknowledged", 240, "undecided", 240),
        ([("bid", 240), ("placed", None), ("bid", 300)], "planned", 300, "undecided", 240),
        ([("bid", 240), ("placed", None), ("outbid", None)], "outbid", 0, "undecided", 0),
        ([("bid", 240), ("placed", None), ("cancelled", None)], "cancelled", 0, "cancelled", 0),
        ([("bid", 240), ("placed", None), ("outbid", None), ("placed", 260)], "placed", 260, "undecided", 260),
        ([("bid", 240), ("unsold", 150)], "unsold", 0, "unsold", 0),
        ([("bid", 240), ("withdrawn", None)], "withdrawn", 0, "withdrawn", 0),
        ([("unsold", None), ("offer", 120)], "offer", 120, "offer", 120),
        ([("unsold", None), ("buy", 120)], "buy", 120, "buy", 120),
        ([("bid", 240), ("lost", 260)], "", 0, "", 0),
    ],
)
def test_every_row_of_a_bids_life(words: list[Word], stage: str, held: int, when_over: str, held_over: int) -> None:
    stands = after(*words)
    assert str(stage_now(stands, over=False)) == stage
    assert str(stage_now(stands, over=True)) == when_over
    assert (holds(stands), holds(stands, over=True)) == (held, held_over)


def test_a_provisional_win_is_told_apart() -> None:
    line = replace(told(("won", 200))[0], target="provisional")
    stands = fold([line]).lots["a"]
    assert (stands.state, stands.stage) == ("won", "provisional")
    assert holds(stands, over=True) == 200


@pytest.mark.parametrize(
    ("before", "verb", "amount", "said"),
    [
        ([("bid", 240)], "outbid", None, "no bid on a was said to be placed"),
        ([], "acknowledged", 240, "no bid on a was said to be placed"),
        ([("placed", 240)], "acknowledged", 250, "the venue acknowledges 250 EUR on a, and 240 EUR was placed"),
        ([("placed", 240)], "acknowledged", 240, ""),
        ([("placed", 240)], "cancelled", None, ""),
        ([("placed", 240), ("outbid", None)], "placed", 260, ""),
    ],
)
def test_words_out_of_turn_are_said(before: list[Word], verb: Verb, amount: int | None, said: str) -> None:
    stands = after(*before) if before else None
    found = "; ".join(out_of_turn(verb, "a", stands, None if amount is None else eur(amount)))
    assert found.startswith(said)
    assert bool(found) == bool(said)


WORDS = st.tuples(
    st.sampled_from([*STATES, "clear", "undo", "redo"]),
    st.sampled_from("abc"),
    st.one_of(st.none(), st.integers(1, 999)),
)


@settings(max_examples=300, deadline=None)
@given(st.lists(WORDS, max_size=16), st.booleans())
def test_money_committed_is_what_the_states_say(words: list[tuple[str, str, int | None]], over: bool) -> None:
    """Over any order of words and undos: told anew by hand from those in force, never below zero."""
    lines: list[Decision] = []
    force: list[Decision] = []
    gone: list[Decision] = []
    for n, (verb, lot, amount) in enumerate(words):
        found = fold(lines)
        if verb in ("undo", "redo"):
            line = (undo if verb == "undo" else redo)(found, batch=f"u{n}", at=NOW)
            source, target = (force, gone) if verb == "undo" else (gone, force)
            assert (line is not None) == bool(source)
            if line is not None:
                lines.append(line)
                target.append(source.pop())
            continue
        line = Decision(n, f"b{n}", NOW, verb, lot, None if amount is None else eur(amount))  # type: ignore[arg-type]
        lines.append(line)
        force.append(line)
        gone.clear()
    review = fold(lines)
    for lot in "abc":
        assert holds(review.lots.get(lot), over=over) == by_hand([each for each in force if each.lot == lot], over=over)


def by_hand(words: list[Decision], *, over: bool) -> Decimal:
    """The table of a bid's life walked word by word: what the last words of one lot leave bound."""
    plan: Decimal | None = None
    placed: Decimal | None = None
    acknowledged: Decimal | None = None
    shown: Decimal | None = None
    last, unsold = "", False
    for each in words:
        if each.verb == "clear":
            plan = placed = acknowledged = shown = None
            last, unsold = "", False
            continue
        amount = each.amount.amount if each.amount else None
        if each.verb in ("bid", "buy", "offer"):
            kept = placed if each.verb == "bid" and placed != amount else None
            plan, shown, placed, acknowledged = amount, amount, kept, acknowledged if kept is not None else None
        elif each.verb == "placed":
            placed = shown = amount if amount is not None else shown
        elif each.verb == "acknowledged":
            acknowledged = shown = amount if amount is not None else shown
            placed = placed or acknowledged
        else:
            shown = amount if amount is not None or each.verb not in ("outbid", "cancelled") else shown
            plan = placed = acknowledged = None
        unsold = (last == "unsold" or unsold) and each.verb in ("buy", "offer")
        last = each.verb
    binding = {"bid", "buy", "offer", "placed", "acknowledged"}
    if over and not unsold:
        binding = {"placed", "acknowledged", "offer"}
        if last == "bid" and placed is not None:
            plan, last = None, "placed"
    if last not in binding:
        return Decimal(0)
    return max((each for each in (plan, placed, acknowledged) if each is not None), default=Decimal(0))
