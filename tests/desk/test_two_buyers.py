"""Two buyers, one shelf: each entry says who took it, and nobody bids against the other unasked."""

from __future__ import annotations

import pytest

from tests.desk.pieces import come, row
from watchlist.desk import undoing
from watchlist.desk.decisions.deciding import decide
from watchlist.desk.desk import Desk
from watchlist.desk.errors import TooMuch


@pytest.fixture
def anna(desk: Desk) -> Desk:
    """Two lots of one want and another one; Anna has bid on the first."""
    come(desk, row("1"), row("2"), row("3", "Orvany 1 tor 1889 VF-30", "20"))
    desk.shelf.who = "anna"
    decide(desk, ["north:1"], "bid", "210", anyway=True)
    return desk


def test_a_bid_against_the_other_is_asked_twice(anna: Desk) -> None:
    anna.shelf.who = "ben"
    with pytest.raises(TooMuch, match=r"anna has bid 210 EUR on north:1\."):
        decide(anna, ["north:1"], "bid", "220")
    with pytest.raises(TooMuch, match="anna has bid 210 EUR on north:1 for w1 too"):
        decide(anna, ["north:2"], "bid", "220")
    with pytest.raises(TooMuch, match="anna has bid"):
        decide(anna, ["north:2"], "placed", "220")
    decide(anna, ["north:3"], "bid", "25", anyway=True)
    anna.shelf.who = "anna"
    assert not any("has bid" in why for why in decide(anna, ["north:2"], "bid", "220").warnings)


def test_who_bid_stays_who_bid_when_the_other_tells_what_the_venue_says(anna: Desk) -> None:
    decide(anna, ["north:1"], "placed", "210", anyway=True)
    anna.shelf.who = "ben"
    decide(anna, ["north:1"], "acknowledged", anyway=True)
    assert anna.shelf.store.decisions.review().lots["north:1"].who == "anna"
    decide(anna, ["north:1"], "outbid")
    assert decide(anna, ["north:1"], "bid", "220").warnings == ()
    assert [line.who for line in anna.shelf.store.decisions.all()] == ["anna", "anna", "ben", "ben", "ben"]


def test_undo_says_whose_entry_it_was(anna: Desk) -> None:
    anna.shelf.who = "ben"
    assert "said by anna " in undoing.undo(anna).said
    assert anna.shelf.store.decisions.all()[-1].who == "ben"
