"""After the hammer, what can hardly be meant or cannot be: each is one sentence, and the rest stands."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest

from tests.desk.pieces import come, eur, lot, row
from watchlist.core.fees.ladders import TermsError
from watchlist.core.fees.row import terms_from_row, terms_to_row
from watchlist.core.held.piece import Piece
from watchlist.desk import undoing
from watchlist.desk.decisions.deciding import decide
from watchlist.desk.desk import Desk
from watchlist.desk.errors import DeskError, TooMuch
from watchlist.desk.held import arrivals, parcels, pieces
from watchlist.desk.held.held import cost_lines, held
from watchlist.desk.held.parcels import parcel
from watchlist.desk.results.results import result


@pytest.fixture
def home(desk: Desk) -> Desk:
    """Two lots of one sale won at 100 and 50; they came in one parcel, of which 189.90 was paid, days ago."""
    venues = desk.shelf.notebook.venues
    venues.put(*(replace(terms, ships_together="sale", shipping=Decimal("9.90")) for terms in venues.list()))
    desk.forget()
    come(desk, *(row(str(n), price="20", hours=-48) for n in (1, 2)))
    for id, price in (("1", "100"), ("2", "50")):
        result(desk, f"north:{id}", price, won=True)
    for act, value in (("invoiced", "189.90"), ("paid", "189.90"), ("arrived", "")):
        arrivals.say(desk, "P1", arrivals.Said(act, value))
    return desk


def piece(desk: Desk, number: str) -> Piece:
    return next(each for each in held(desk) if each.stock_no == number)


def test_a_refund_above_what_was_paid_is_asked_twice(home: Desk) -> None:
    pieces.say(home, "north:1", pieces.Said("returned", postage="8.90"))
    with pytest.raises(TooMuch) as asked:
        pieces.say(home, "north:1", pieces.Said("refunded", "140"))
    share = piece(home, "S-001").share
    assert str(asked.value).startswith(
        f"refund 140 EUR is above the {share} EUR paid for it and 8.90 return postage. Nothing was written"
    )
    pieces.say(home, "north:1", pieces.Said("refunded", f"{share + Decimal('8.90')}"))
    assert piece(home, "S-001").lost == 0


@pytest.mark.parametrize("act", ["arrived", "dispatched"])
def test_a_day_to_come_is_named_with_what_came(home: Desk, act: str) -> None:
    with pytest.raises(DeskError, match=rf"^{act.capitalize()} 30 Nov is still to come\. Nothing was written\.$"):
        arrivals.say(home, "P1", arrivals.Said(act, on="2026-11-30"))
    with pytest.raises(DeskError, match=r"^Sent to a service 4 Jan 2027 is still to come"):
        pieces.say(home, "S-001", pieces.Said("to-service", on="2027-01-04"))


def test_a_lot_that_nobody_knows_is_to_be_added_first(home: Desk) -> None:
    for say in (lambda: parcels.join(home, "P1", "9x"), lambda: pieces.say(home, "9x", pieces.Said("kept"))):
        with pytest.raises(DeskError, match=r"`9x`.*`watchlist lot add`"):
            say()


def test_a_lot_in_another_currency_than_its_venue_is_costed_alone(home: Desk) -> None:
    come(home, row("7", hours=40, currency="USD"), row("8", hours=40))
    for key, bid in (("north:7", "220 USD"), ("north:8", "220")):
        decide(home, [key], "placed", bid, anyway=True)
    shown = next(each for each in parcels.parcels(home) if any(lot.key == "north:7" for lot in each.lots))
    assert [each.number for each in shown.lots] == ["7"]
    assert any(note.endswith("7 is in USD, its venue in EUR: costed alone") for note in shown.notes)


def test_a_rule_of_parcels_that_is_none_is_refused_with_those_that_are(home: Desk) -> None:
    row = terms_to_row(home.terms["Lindmoor Sales"])
    with pytest.raises(TermsError, match="Lindmoor Sales: `weekly` is none of sale, days:1 to days:60, no"):
        terms_from_row(row | {"ships_together": "weekly"})


def test_an_invoice_is_in_the_currency_of_its_sale(home: Desk) -> None:
    with pytest.raises(DeskError, match="The invoice is to be told in EUR, not USD"):
        arrivals.say(home, "P1", arrivals.Said("invoiced", "200 USD"))


def test_cents_of_a_cost_fall_alike_in_whatever_order_pieces_are_shown(home: Desk) -> None:
    """A list that shows last what was sold told other cents than the one for the tax file."""
    home.shelf.notebook.venues.put(replace(home.terms["Lindmoor Sales"], shipping=Decimal("9.91")))
    home.forget()
    result(home, "north:2", "100", won=True)
    every = held(home)
    lines = cost_lines(home, every)
    assert [lines[f"north:{n}"]["shipping"] for n in (1, 2)] == [Decimal("4.96"), Decimal("4.95")]
    assert cost_lines(home, tuple(reversed(every))) == lines


def test_a_parcel_with_nothing_left_to_do_stands_last(home: Desk) -> None:
    come(home, row("3", price="20", hours=40))
    decide(home, ["north:3"], "placed", "220", anyway=True)
    assert [each.id for each in parcels.parcels(home)] == ["P1", "P6"]
    pieces.say(home, "north:1", pieces.Said("kept"))
    pieces.say(home, "north:2", pieces.Said("returned"))
    shown = parcel(home, "P1")
    assert (shown.done, shown.refund, str(shown.cost)) == (False, True, "189.90 EUR")
    pieces.say(home, "north:2", pieces.Said("refunded", "63"))
    assert parcel(home, "P1").done
    assert [each.id for each in parcels.parcels(home)] == ["P6", "P1"]


def test_an_invoice_from_abroad_tells_what_customs_may_ask_for_apart(desk: Desk) -> None:
    venues = desk.shelf.notebook.venues
    venues.put(*(replace(terms, import_vat_pct=Decimal(7)) for terms in venues.list()))
    desk.forget()
    come(desk, row("1", price="20", hours=-2))
    result(desk, "north:1", "100", won=True)
    said = arrivals.say(desk, "P1", arrivals.Said("invoiced", "120")).said
    assert "calculated 128.40 EUR: 8.40 less; 8.40 EUR of the calculated sum is duty and import VAT" in said


def test_a_provisional_win_that_the_seller_refuses_is_unsold_and_may_be_offered_for(desk: Desk) -> None:
    come(desk, row("1", price="20", hours=2))
    decide(desk, ["north:1"], "placed", "100", anyway=True)
    result(desk, "north:1", "100", won=True, provisional=True)
    decide(desk, ["north:1"], "unsold", "100")
    assert lot(desk, "north:1").state == "ended"
    decide(desk, ["north:1"], "offer", "120", anyway=True)
    assert desk.shelf.store.decisions.review().lots["north:1"].stage == "offer"
    undoing.undo(desk)
    undoing.undo(desk)
    result(desk, "north:1", "100", won=True)
    with pytest.raises(DeskError, match=r"north:1 is won; `clear` takes that back"):
        decide(desk, ["north:1"], "unsold", "100")
    assert [each.won.line.amount for each in held(desk)] == [eur(100)]
