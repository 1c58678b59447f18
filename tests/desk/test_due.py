"""What is due: joined, kept, begun and ended; a shelf of before is honoured."""

from __future__ import annotations

import json
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from watchlist.desk import due as dues
from watchlist.desk.due import MARKET, MARKS, NAMES, NOTHING, TITLES, Due, Owed, from_data, to_data
from watchlist.shelf.shelf import Shelf

KEYS = st.frozensets(st.sampled_from(["north:1", "north:2", "east:1"]))
DUES = st.builds(
    Due,
    market=st.booleans(),
    scales=st.booleans(),
    titles=st.booleans(),
    titles_of=KEYS,
    marks=st.booleans(),
    marks_of=KEYS,
    issues=KEYS,
    closing=st.booleans(),
    ended=st.booleans(),
)


@given(DUES, DUES)
def test_what_is_joined_can_be_parted_again(one: Due, other: Due) -> None:
    assert one | other == other | one
    assert (one | other) & one == one
    assert (one | other) - other == one - other
    assert (one - other) | (one & other) == one
    assert not one - one
    assert bool(one) == any(getattr(one, name) for name in NAMES)


@given(DUES)
def test_it_is_kept_as_json_holds_it(due: Due) -> None:
    assert from_data(json.loads(json.dumps(to_data(due)))) == due


def test_names_of_a_later_program_are_passed_over() -> None:
    assert from_data({"market": True, "moon": True}) == Due(market=True)


@pytest.mark.parametrize(
    ("due", "said"),
    [
        (NOTHING, ""),
        (Due(marks_of=frozenset({"north:1"}), closing=True), ""),
        (Due(market=True, marks=True), "Calculating the bands is due."),
        (Due(market=True, titles=True), "Calculating the bands and reading all lots again are due."),
        (TITLES, "Reading all lots again is due."),
    ],
)
def test_what_is_left_is_one_sentence(due: Due, said: str) -> None:
    assert due.left == said


def test_due_work_is_kept_until_it_is_ended(shelf: Shelf) -> None:
    owed = Owed(shelf.store.facts)
    owed.add(MARKET)
    owed.add(Due(issues=frozenset({"t1"})))
    again = Owed(shelf.store.facts)
    assert again.all() == MARKET | Due(issues=frozenset({"t1"}))
    with again.under_way(MARKS):
        assert again.all().marks, "what is being done is not yet done"
    assert again.all() == Due(market=True, issues=frozenset({"t1"}))


@pytest.mark.parametrize("end", [KeyboardInterrupt, RuntimeError])
def test_work_that_breaks_off_stays_due(shelf: Shelf, end: type[BaseException]) -> None:
    owed = Owed(shelf.store.facts)
    owed.add(MARKET)
    with pytest.raises(end), owed.under_way(MARKET):
        raise end
    assert Owed(shelf.store.facts).all() == MARKET


def test_what_becomes_due_while_it_is_done_waits_for_the_next_time(shelf: Shelf) -> None:
    owed = Owed(shelf.store.facts)
    owed.add(MARKET)
    with owed.under_way(MARKET):
        owed.add(Due(market=True))
    assert owed.all() == Due(market=True)


def test_nothing_is_written_where_it_was_due_before(shelf: Shelf, monkeypatch: pytest.MonkeyPatch) -> None:
    owed = Owed(shelf.store.facts)
    owed.add(MARKET)
    written: list[Any] = []
    monkeypatch.setattr(type(shelf.store.facts), "put", lambda self, name, value: written.append(value))
    owed.add(Due(market=True))
    assert not written


def test_a_shelf_of_before_is_honoured(shelf: Shelf) -> None:
    facts = shelf.store.facts
    facts.put(dues.MARKET_BEFORE, "ab12")
    facts.put(dues.LOTS_BEFORE, ["north:1"])
    owed = Owed(facts)
    assert owed.all() == Due(market=True, marks_of=frozenset({"north:1"}))
    owed.add(MARKS)
    with owed.under_way(Due(market=True)):
        pass
    assert owed.all() == Due(marks=True, marks_of=frozenset({"north:1"}))


def test_a_clean_shelf_of_before_owes_nothing(shelf: Shelf) -> None:
    shelf.store.facts.put(dues.MARKET_BEFORE, False)
    shelf.store.facts.put(dues.LOTS_BEFORE, [])
    assert not Owed(shelf.store.facts).all()
