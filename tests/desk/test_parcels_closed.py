"""What an invoice does to its parcel: nothing joins it but by hand, nothing leaves it; refusals in one sentence."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.desk.pieces import come, row
from watchlist.desk.decisions.deciding import decide
from watchlist.desk.desk import Desk
from watchlist.desk.errors import DeskError
from watchlist.desk.held import arrivals, parcels
from watchlist.desk.held.arrivals import Said
from watchlist.desk.results.results import result


@pytest.fixture
def sold(desk: Desk) -> Desk:
    """Three lots of one sale, of a venue that sends them together; the first is won and invoiced as P1."""
    venues = desk.shelf.notebook.venues
    venues.put(*(replace(terms, ships_together="sale") for terms in venues.list()))
    desk.forget()
    come(desk, *(row(str(n), price="20", hours=-2) for n in (1, 2)), row("3", price="20", hours=50))
    result(desk, "north:1", "100", won=True)
    arrivals.say(desk, "P1", Said("invoiced", "120"))
    return desk


def of(desk: Desk) -> dict[str, list[str]]:
    return {each.id: [lot.number for lot in each.lots] for each in parcels.parcels(desk)}


def test_a_win_without_a_bid_before_names_its_parcel(sold: Desk) -> None:
    assert of(sold) == {"P1": ["1"]}


def test_what_is_won_later_opens_a_parcel_of_its_own_unless_it_is_joined_by_hand(sold: Desk) -> None:
    result(sold, "north:2", "50", won=True)
    assert of(sold) == {"P1": ["1"], "P3": ["2"]}
    with pytest.raises(DeskError, match="P1 is invoiced: undo that before 1 is parted from it"):
        parcels.part(sold, "north:1", "P1")
    parcels.join(sold, "P1", "north:2")
    assert of(sold) == {"P1": ["1", "2"]}


def test_a_parcel_with_nothing_won_has_no_invoice(sold: Desk) -> None:
    decide(sold, ["north:3"], "placed", "30", anyway=True)
    with pytest.raises(DeskError, match="P3 has nothing won: no invoice"):
        arrivals.say(sold, "P3", Said("invoiced", "40"))
    with pytest.raises(DeskError, match="There is no lot `9x`"):
        parcels.join(sold, "P1", "9x")


def test_what_is_paid_over_the_invoice_is_asked_twice_and_kept_as_cost(sold: Desk) -> None:
    said = arrivals.say(sold, "P1", Said("paid", "50")).said
    assert said == "P1: paid 50 EUR: 70 EUR owed"
    with pytest.raises(DeskError, match=r"paid 77\.60 EUR, owed 70 EUR: 7\.60 EUR would be kept as cost"):
        arrivals.say(sold, "P1", Said("paid", "77.60"))
    arrivals.say(sold, "P1", Said("paid", "77.60"), anyway=True)
    course = parcels.parcel(sold, "P1").course
    assert course is not None
    assert (str(course.paid), course.owed) == ("127.60", None)


def test_what_changes_nothing_writes_nothing_and_says_so(sold: Desk) -> None:
    decide(sold, ["north:3"], "placed", "30", anyway=True)
    parcels.join(sold, "P1", "north:3")
    parcels.part(sold, "north:3", "P1")
    written = len(sold.shelf.store.decisions.all())
    with pytest.raises(DeskError, match="3 travels alone already"):
        parcels.part(sold, "north:3")
    with pytest.raises(DeskError, match="1 is in P1 already"):
        parcels.join(sold, "P1", "north:1")
    assert len(sold.shelf.store.decisions.all()) == written
