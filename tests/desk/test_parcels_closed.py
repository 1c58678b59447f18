"""What an invoice does to its parcel: nothing joins it but by hand, nothing leaves it; refusals in one sentence."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.desk.pieces import come, row
from watchlist.desk import undoing
from watchlist.desk.decisions.deciding import decide
from watchlist.desk.desk import Desk
from watchlist.desk.errors import DeskError
from watchlist.desk.held import arrivals, parcels
from watchlist.desk.held.arrivals import Said
from watchlist.desk.held.held import held
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


def test_what_came_after_the_invoice_says_why_it_travels_by_itself(sold: Desk) -> None:
    said = "P1 is invoiced: 2 opens P3, unless `parcel P1 join 2`"
    assert parcels.parcel(sold, "P1").notes == ()
    result(sold, "north:2", "50", won=True)
    decide(sold, ["north:3"], "placed", "30", anyway=True)
    assert {each.id: each.notes for each in parcels.parcels(sold)} == {"P1": (), "P3": (said,), "P4": ()}, (
        "3: of a later sale"
    )
    arrivals.say(sold, "P1", Said("paid", "120"))
    assert parcels.parcel(sold, "P3").notes == (said.replace("invoiced", "paid"),)
    parcels.join(sold, "P1", "north:2")
    assert {each.id: each.notes for each in parcels.parcels(sold)} == {"P1": (), "P4": ()}


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


def test_a_lot_of_a_closed_parcel_joins_no_other_and_is_told_so_first(sold: Desk) -> None:
    """Whatever else speaks against it, what is said is what has to be undone."""
    result(sold, "north:2", "50", won=True)
    with pytest.raises(DeskError, match="P1 is invoiced: undo that before 1 is parted from it"):
        parcels.join(sold, "P3", "north:1")
    arrivals.say(sold, "P1", Said("paid", "120"))
    with pytest.raises(DeskError, match="P1 is paid: undo that before 1 is parted from it"):
        parcels.join(sold, "P3", "north:1")
    assert of(sold) == {"P1": ["1"], "P3": ["2"]}


def test_an_invoice_after_a_join_is_shared_by_what_joined_too(sold: Desk) -> None:
    """The first invoice named one lot; by another one, after a second was put in by hand, both are paid for."""
    result(sold, "north:2", "50", won=True)
    parcels.join(sold, "P1", "north:2")
    arrivals.say(sold, "P1", Said("invoiced", "180"))
    assert {each.key: str(each.share) for each in held(sold)} == {"north:1": "120.00", "north:2": "60.00"}
    undoing.undo(sold)
    assert {each.key: str(each.share) for each in held(sold)}["north:1"] == "120.00"


def test_a_win_cannot_be_taken_back_under_its_invoice(sold: Desk) -> None:
    """Else the invoice would be owed for nothing, and what it cost would stand in no list."""
    before = [(each.key, each.share) for each in held(sold)]
    refused = r"^P1 is invoiced: undo that before north:1 is taken back\. Nothing was"
    with pytest.raises(DeskError, match=refused):
        decide(sold, ["north:1"], "clear")
    with pytest.raises(DeskError, match=refused):
        result(sold, "north:1", "120", won=False)
    assert [(each.key, each.share) for each in held(sold)] == before
    result(sold, "north:1", "110", won=True)
    undoing.undo(sold)
    undoing.undo(sold)
    decide(sold, ["north:1"], "clear")
    assert held(sold) == ()
