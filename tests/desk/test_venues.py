"""Venues as they are typed: one changes no other, and what has to follow is kept with them."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest

from watchlist.core.fees.terms import Terms
from watchlist.desk import undoing
from watchlist.desk.desk import Desk
from watchlist.desk.due import MARKET
from watchlist.desk.errors import DeskError
from watchlist.desk.typed.venues import drop_venue, put_venue

NORTH = "Lindmoor Sales"


def test_a_new_venue_and_what_is_due_of_it(desk: Desk) -> None:
    made = put_venue(desk, {"venue": "Vessick", "shipping": "6"})
    assert desk.terms["Vessick"] == made == Terms("Vessick", desk.home, shipping=Decimal(6))
    assert desk.owed.all() & MARKET == MARKET
    drop_venue(desk, "Vessick")
    assert "Vessick" not in desk.terms


def test_terms_are_changed_by_their_own_venue_alone(desk: Desk) -> None:
    before = desk.terms[NORTH]
    made = put_venue(desk, {"shipping": "6"}, over=NORTH)
    assert made == replace(before, shipping=Decimal(6))
    for typed, over, of in (
        ({"venue": "lindmoor sales"}, "", ""),
        ({"venue": NORTH}, "Vessick", ", and this form is of Vessick"),
    ):
        with pytest.raises(DeskError) as refused:
            put_venue(desk, typed, over)
        assert str(refused.value).startswith(
            f"There is a venue {NORTH} already{of}; give another name, or change that one"
        )
    assert desk.terms[NORTH] == made
    undoing.undo(desk)
    assert desk.terms[NORTH] == before


def test_another_name_makes_another_venue_of_what_is_typed(desk: Desk) -> None:
    before = desk.terms[NORTH]
    assert put_venue(desk, {"venue": "Vessick", "currency": "GBP"}, over=NORTH) == Terms("Vessick", "GBP")
    assert desk.terms[NORTH] == before


@pytest.mark.parametrize("name", ["", " ", "a\x1bb"])
def test_a_venue_needs_a_name(desk: Desk, name: str) -> None:
    with pytest.raises(DeskError, match=r"^A venue needs a name.* Nothing was changed\.$"):
        put_venue(desk, {"venue": name})
