"""What was lost by how much, and the hint when bids are always too low; part exchange; the weight of own purchases."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.desk.pieces import come, row, sales
from watchlist.desk import undoing
from watchlist.desk.decisions.deciding import decide
from watchlist.desk.desk import Desk
from watchlist.desk.errors import DeskError
from watchlist.desk.held import arrivals, pieces
from watchlist.desk.held.exchange import exchange
from watchlist.desk.held.held import held
from watchlist.desk.held.parcels import parcels, part
from watchlist.desk.in_hand import losses
from watchlist.desk.in_hand.courses import told
from watchlist.desk.prices import fitting
from watchlist.desk.results.results import result
from watchlist.shelf.settings import Prices, parse


def ended(desk: Desk, id: str, bid: str, price: str, *, won: bool = False) -> str:
    """A bid placed and the result of its sale: what is said of it."""
    come(desk, row(id, price="10", hours=4))
    decide(desk, [f"north:{id}"], "placed", bid, anyway=True)
    done = result(desk, f"north:{id}", price, won=won)
    return ". ".join((done.said, *done.warnings))


def test_what_was_lost_by_how_much_is_said_at_once(desk: Desk) -> None:
    assert "not won: sold for 119 EUR hammer, 19 EUR (19%) above your bid" in ended(desk, "1", "100", "119")
    assert "above your bid" not in ended(desk, "2", "100", "90", won=True)


def test_ceilings_that_are_always_too_low_are_told_from_the_fifth_sale_on(desk: Desk) -> None:
    """By hand: margins 10, 20, 30, 40 per cent and one win; the median of the four is 25."""
    for n, price in enumerate(("110", "120", "130")):
        ended(desk, str(n), "100", price)
    ended(desk, "3", "100", "95", won=True)
    assert losses.hint(desk) == ""
    said = ended(desk, "4", "100", "140")
    assert "lost 4 of the last 5 bids by a median of 25% of the bid: your ceilings may be too low" in said
    for n in range(5, 9):
        ended(desk, str(n), "100", "95", won=True)
    assert losses.hint(desk) == ""


def test_a_piece_given_in_exchange_pays_for_a_parcel_in_one_stroke(desk: Desk) -> None:
    ended(desk, "1", "100", "90", won=True)
    ended(desk, "2", "100", "80", won=True)
    part(desk, "north:2")
    second = next(each for each in parcels(desk) if [lot.key for lot in each.lots] == ["north:2"])
    arrivals.say(desk, second.id, arrivals.Said("invoiced", "200"))
    with pytest.raises(DeskError, match="given in exchange by `sold SUM --into"):
        exchange(desk, "north:1", pieces.Said("kept"), second.id)
    for key in ("north:2", "2", held(desk)[1].stock_no):
        with pytest.raises(DeskError, match=f"{key} came in {second.id} itself, so it cannot pay for it"):
            exchange(desk, key, pieces.Said("sold", "150"), second.id)
    done = exchange(desk, "north:1", pieces.Said("sold", "150"), second.id)
    assert "sold 150 EUR" in done.said
    assert f"{second.id}: paid 150 EUR: 50 EUR owed" in done.said
    course, piece = told(desk).parcels[second.id], next(each for each in held(desk) if each.key == "north:1")
    assert (str(course.owed), piece.state) == ("50 EUR", "sold")
    undone = undoing.undo(desk).said
    assert undone.startswith("Undone: sold 150 EUR on 1")
    assert f"The payment of 150 EUR for {second.id} is taken back" in undone
    assert str(told(desk).parcels[second.id].owed) == "200 EUR"


def test_own_purchases_weigh_as_one_chooses(desk: Desk) -> None:
    desk.shelf.store.prices.add(sales())
    ended(desk, "1", "100", "90", won=True)
    weights = []
    for own in (1.0, 0.25, 0.0):
        desk.shelf.settings = replace(desk.shelf.settings, prices=Prices(own=own))
        ready, aside = fitting.all_sales(desk)
        weights.append(
            ([sale.weight for sale in ready if sale.venue_kind == "auction" and sale.price < 120], len(aside))
        )
    assert weights == [([1.0], 0), ([0.25], 0), ([], 1)]
    assert parse({"prices": {"own": True}}).prices.own == 1
    assert parse({"prices": {"own": False}}).prices.own == 0
