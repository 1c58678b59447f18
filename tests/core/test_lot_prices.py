"""What an entry asks where practitioners' lists are awkward: results, unsold lots, labels, prices behind titles."""

from __future__ import annotations

from datetime import UTC, datetime
from decimal import Decimal
from typing import Any

import pytest

from watchlist.core.fees.terms import Terms
from watchlist.core.lots.entry import Entry
from watchlist.core.lots.lot import make_lot
from watchlist.core.lots.piece import feedback_cell, seller_cell, weight_in
from watchlist.core.lots.record import Lot
from watchlist.core.lots.source import Source
from watchlist.core.money.minor import whole_units, without_cents
from watchlist.words import load

WORDS = load()
NOW = datetime(2026, 3, 10, 8, tzinfo=UTC)
SALES = Terms("Lindmoor Sales", "EUR", "auction", time_zone="Europe/Berlin")


def lot_of(
    description: str = "",
    *,
    title: str = "Orvany 5 tor 1893-V VF",
    terms: Terms | None = SALES,
    mark: str = "",
    **fields: str,
) -> Lot:
    source = Source("north", "lots.csv", "Lindmoor Sales", decimal_mark=mark)
    entry = Entry("north", "entry 1", "1", title, description, "", fields)
    return make_lot(entry, source, terms, words=WORDS, now=NOW, home_currency="EUR", home_zone="Europe/Berlin")[0]


@pytest.mark.parametrize(
    "said",
    [
        "Auktion beendet am 01.03.2026 18:00",
        "Ended on 1 March 2026 18:00",
        "Vente terminée le 28/02/2026 à 18h00",
        "Finalizada el 1 de marzo de 2026 a las 18:00",
        "Terminata il 1 marzo 2026 alle 18:00",
        "Afgelopen op 1 maart 2026 18.00 uur",
    ],
)
def test_the_result_of_a_sale_that_is_over_comes_before_its_estimate(said: str) -> None:
    lot = lot_of(f"Schätzung: 300,- EUR\nZuschlag: 420,- EUR\n{said}", mark=",")
    assert (lot.price and lot.price.amount, lot.price_kind) == (Decimal(420), "ended")
    assert lot.closes is not None
    assert lot.closes < NOW


def test_an_older_result_in_the_words_of_a_lot_still_on_is_none_of_its_own() -> None:
    lot = lot_of("Zuschlagspreis 2024: 300 EUR. Startpreis: 45 EUR. Ende: 14.03.2026 20:00")
    assert (lot.price and lot.price.amount, lot.price_kind) == (Decimal(45), "so far")


@pytest.mark.parametrize("more", [{}, {"start_price": "40"}, {"estimate": "40"}])
def test_a_result_that_says_unsold_is_no_trouble(more: dict[str, str]) -> None:
    source, fields = Source("north", "lots.csv"), {"hammer": "passed", "ends_at": "2026-03-01 18:00", **more}
    entry = Entry("north", "entry 1", "1", "Orvany 5 tor 1893-V VF", "", "", fields)
    lot, troubles = make_lot(entry, source, SALES, words=WORDS, now=NOW, home_currency="EUR", home_zone="Europe/Berlin")
    assert list(troubles) == []
    assert lot.unsold == ("estimate" not in more)


@pytest.mark.parametrize(
    "fields",
    [
        {"start_price": "40", "status": "unverkauft"},
        {"price": "40", "status": "withdrawn"},
        {"start_price": "40", "status": "closed"},
        {"start_price": "40", "hammer": "passed"},
        {"start_price": "40", "hammer": "unverkauft"},
        {"start_price": "40", "description": "Nice piece. Result: passed"},
        {"start_price": "40", "description": "Zuschlag: unverkauft"},
    ],
)
def test_what_an_unsold_lot_stood_at_is_no_result(fields: dict[str, str]) -> None:
    """A result becomes a price realised: an unsold lot would be a sale that never was."""
    given: dict[str, Any] = fields
    lot = lot_of(**given)
    assert (lot.price, lot.price_kind) == (None, None)
    assert "it stood at 40 EUR" in lot.price_note


def test_a_result_that_says_something_else_leaves_the_sale_open() -> None:
    for said in ("Its twin, result: passed", "Result: 45 EUR last year, unsold before that"):
        lot = lot_of(said, start_price="40", ends_at="14.03.2026 20:00")
        assert (lot.price and lot.price.amount, lot.price_kind) == (Decimal(40), "so far"), said


def test_what_another_one_costs_is_no_price_of_this_one() -> None:
    assert lot_of("I have sold another one at 95 pounds; make an offer for this.", terms=None).price is None


@pytest.mark.parametrize(
    "said",
    [
        "Katalogpreis 120 EUR.",
        "Katalogwert: 120 EUR",
        "Cataloguswaarde 120 EUR",
        "Valeur catalogue 120 EUR.",
        "Valore di catalogo 120 EUR",
        "Catalogue value 120 EUR.",
    ],
)
def test_what_a_book_says_is_no_price_of_the_piece(said: str) -> None:
    assert lot_of(said, terms=None).price is None
    lot = lot_of(f"{said} Gebote ab 45 EUR", terms=None)
    assert (lot.price and lot.price.amount, lot.price_kind) == (Decimal(45), "so far")


@pytest.mark.parametrize(
    ("said", "price", "kind"),
    [
        ("Now £100, 3 bids. Estimate £200-300", "100 GBP", "so far"),
        ("Estimate: £200-300. Price: £100 (1 bid)", "100 GBP", "so far"),
        ("Now £100. Estimate £200-300", "100 GBP", "fixed"),
        ("SOLD for £330", "330 GBP", "ended"),
        ("Sold: £330", "330 GBP", "ended"),
        ("Nice piece. SOLD £330", "330 GBP", "ended"),
        ("Verkauft für 330 EUR", "330 EUR", "ended"),
        ("Vendu : 330 €", "330 EUR", "ended"),
        ("Price: 330 EUR\nSOLD!", "330 EUR", "ended"),
        ("Verkauft. Preis: 45 EUR", "45 EUR", "ended"),
        ("A like piece sold for 900 EUR. Price: 330 EUR", "330 EUR", "fixed"),
        ("It is £14 to a good home.", "14 GBP", "fixed"),
        ("The bidding stands at 4 euros 50 after three bids.", "4.50 EUR", "so far"),
        ("Sold for 900 EUR in 2019. Price: 330 EUR", "330 EUR", "fixed"),
        ("Sold by Ostrell Coins. Price: 330 EUR", "330 EUR", "fixed"),
        ("Sold as is. Price: 330 EUR", "330 EUR", "fixed"),
        ("Aktuell: CHF 1'250.– (5 Gebote)", "1,250 CHF", "so far"),
    ],
)
def test_bids_counted_behind_a_price_and_pieces_that_are_sold(said: str, price: str, kind: str) -> None:
    lot = lot_of(said, terms=None)
    assert (str(lot.price), lot.price_kind) == (price, kind)


def test_a_start_price_is_never_fixed() -> None:
    assert lot_of("Mindestgebot 6,50 €", terms=None).price_kind == "so far"


@pytest.mark.parametrize(
    ("text", "low", "high"),
    [
        ("Estimation : 40/60 €", 40, 60),
        ("Estimate: £400/600", 400, 600),
        ("Estim. 1 200/1 500 €", 1200, None),
    ],
)
def test_french_lists_write_an_estimate_with_a_stroke(text: str, low: int, high: int | None) -> None:
    lot = lot_of(text, terms=None)
    if high is None:  # not understood is unknown, never 1
        assert lot.price is None or lot.price.amount == low
        return
    assert lot.price is not None
    assert lot.estimate_high is not None
    assert [lot.price.amount, lot.estimate_high.amount, lot.price_kind] == [low, high, "estimate"]


def test_a_bid_beside_a_price_to_buy_at_once() -> None:
    lot = lot_of("Bid: $45 | Buy now: $80 | Shipping: $5", terms=None)
    assert (str(lot.price), lot.price_kind) == ("45 USD", "so far")


@pytest.mark.parametrize("kind", ["marketplace", "dealer", "auction", None])
@pytest.mark.parametrize(
    "said",
    [
        "3 bids so far",
        "Bids: 0",
        "Place your bid!",
        "Bidding ends on Saturday",
        "Noch keine Gebote",
        "Auktion endet am Samstag",
        "2 enchères",
        "Sin pujas",
        "Nessuna offerta",
        "Nog geen bod",
    ],
)
def test_an_end_and_words_of_bidding_are_an_auction_whatever_the_venue_sells(said: str, kind: str | None) -> None:
    terms = Terms("Wexby Market", "EUR", kind, time_zone="Europe/Berlin") if kind else None
    lot = lot_of(said, terms=terms, price="45", ends_at="2026-03-14T20:00:00+01:00")
    assert (lot.price and lot.price.amount, lot.price_kind) == (Decimal(45), "so far")


@pytest.mark.parametrize(
    ("said", "fields"),
    [
        ("In stock since 2019", {"price": "45", "ends_at": "2026-03-14T20:00:00+01:00"}),
        ("3 bids were refused", {"price": "45"}),  # no end: nothing is bid for
        ("Auction ends soon", {"buy_now": "45", "ends_at": "2026-03-14T20:00:00+01:00"}),
    ],
)
def test_a_price_to_buy_at_stays_fixed_at_a_marketplace(said: str, fields: dict[str, str]) -> None:
    terms = Terms("Wexby Market", "EUR", "marketplace", time_zone="Europe/Berlin")
    assert lot_of(said, terms=terms, **fields).price_kind == "fixed"


def test_no_bid_yet_is_no_trouble() -> None:
    source = Source("north", "lots.csv")
    entry = Entry("north", "line 2", "1", "5 tor 1893-V VF", fields={"current_bid": "0", "start_price": "40"})
    lot, troubles = make_lot(entry, source, None, words=WORDS, now=NOW, home_currency="EUR")
    assert (lot.price and lot.price.amount, troubles) == (Decimal(40), [])


@pytest.mark.parametrize(
    ("title", "amount"),
    [
        ("Orvany 5 tor 1893-V VF - EUR 45,00", "45.00"),
        ("Orvany 5 tor 1893-V VF (45.00 GBP)", "45.00"),
        ("Orvany 5 tor 1893-V VF - 5 EUR", None),
        ("Orvany 5 tor 1893-V - 25.80 g", None),
        ("5 tor 1893 | 12.50", None),
    ],
)
def test_a_price_behind_a_title_needs_its_currency_and_cents(title: str, amount: str | None) -> None:
    lot = lot_of(title=title)
    assert (str(lot.price.amount) if lot.price else None) == amount


def test_three_figures_behind_the_decimal_mark_of_the_source_are_left_open() -> None:
    """`EUR 1.250` among prices like 55.50 is 1,250 or 1.25: a thousandfold bargain if guessed wrong."""
    lot = lot_of("Price: EUR 1.250", mark=".")
    assert lot.price is None
    assert "two ways" in lot.price_note
    assert lot_of("Price: EUR 1.250", mark=",").price is not None


def test_euro_in_words_is_a_currency() -> None:
    lot = make_lot(
        Entry("n", "1", "1", "5 tor", "Preis: 45 Euro"),
        Source("n", "x"),
        None,
        words=WORDS,
        now=NOW,
        home_currency="GBP",
    )[0]
    assert lot.price is not None
    assert lot.price.currency == "EUR"


@pytest.mark.parametrize(
    ("text", "when"),
    [
        ("Ende: So., 15.03.26 19:05 MEZ", "2026-03-15T18:05:00+00:00"),
        ("Ende Mi 11.03. 19:00 Uhr", "2026-03-11T18:00:00+00:00"),
        ("Fin : dim. 15/03/2026 19h05", "2026-03-15T18:05:00+00:00"),
        ("noch 2 Tage 3 Std.", "2026-03-12T11:00:00+00:00"),
        ("Closes: 2d 04h 05m 30s left", "2026-03-12T12:05:30+00:00"),
        ("closing: 2026-03-15T20:00:00+01:00", "2026-03-15T19:00:00+00:00"),
        ("Ends: 1773604800", "2026-03-15T20:00:00+00:00"),
        ("Clôture : sam. 14 mars 2026, 21 h 30", "2026-03-14T20:30:00+00:00"),
        ("Ends: Mar-12-26 18:30 PDT", "2026-03-13T01:30:00+00:00"),
        ("Reste 2 h 30 min", None),
        ("Ex sale 12, sold on 3 March 2021 10:00", None),
        ("Ende: 12.03.2026 18:30 (noch 2 Tage 10 Std.)", "2026-03-12T17:30:00+00:00"),
        ("Time left: 2d 9h | Ends: 12 March 2026 18:30 CET", "2026-03-12T17:30:00+00:00"),
        ("Auktionsende: 12.03.2026 18:30, noch Originalglanz", "2026-03-12T17:30:00+00:00"),
        ("time left: P2DT4H", "2026-03-12T12:00:00+00:00"),
        ("Ende 20.10. Los 5", None),
    ],
)
def test_closing_times_as_descriptions_write_them(text: str, when: str | None) -> None:
    lot = lot_of(text)
    assert (lot.closes.isoformat() if lot.closes else None) == when, lot.closes_note


def test_a_closing_time_may_stand_in_the_title() -> None:
    lot = lot_of(title="Orvany 5 tor 1893-V VF, endet 12.03.2026 18:30")
    assert lot.closes is not None
    assert lot.closes.isoformat() == "2026-03-12T17:30:00+00:00"


@pytest.mark.parametrize("text", ["Versandgewicht 40 g", "shipping weight 40 g", "Gewicht laut Katalog 27,2 g"])
def test_the_weight_of_the_parcel_is_not_that_of_the_piece(text: str) -> None:
    assert weight_in(text, WORDS) is None


@pytest.mark.parametrize(
    ("text", "weighed"),
    [
        ("24.9g / 37mm", (24.9, 0.1)),
        ("Peso gr. 24,95", (24.95, 0.01)),
        ("Gewicht 5 g / 10 g", None),
        ("g 5", None),
        ("835 g/1000", None),
        ("Münze gr. 1893", None),
    ],
)
def test_weights_as_lists_write_them(text: str, weighed: tuple[float, float] | None) -> None:
    assert weight_in(text, WORDS) == weighed


@pytest.mark.parametrize(
    ("text", "count"),
    [
        ("keine", 0),
        ("new seller", 0),
        ("45 Bewertungen", 45),
        ("★ 45", 45),
        ("1,2k", 1200),
        ("2K", 2000),
        ("12 (100%)", 12),
        ("99,8% (1.204)", 1204),
        ("99.5%", None),
        ("soon", None),
        ("", None),
    ],
)
def test_feedback_in_words_and_figures(text: str, count: int | None) -> None:
    assert feedback_cell(text, WORDS) == count


@pytest.mark.parametrize(
    ("text", "seller"),
    [
        ("hans (3 | 100%)", ("hans", 3)),
        ("marie (12 évaluations)", ("marie", 12)),
        ("anna [12]", ("anna", 12)),
        ("Ostrell Coins (Mersa)", ("Ostrell Coins (Mersa)", None)),
    ],
)
def test_sellers_with_their_feedback(text: str, seller: tuple[str, int | None]) -> None:
    assert seller_cell(text, WORDS) == seller


def test_hundredths() -> None:
    assert [without_cents(name) for name in ("price_cents", "priceInCents", "Preis (Cent)", "current-bid-cents")] == [
        "price",
        "price",
        "Preis",
        "current-bid",
    ]
    assert without_cents("price") == ""
    assert [whole_units(text) for text in ("12550", "5", "45.50", "12550.0")] == ["125.50", "0.05", "45.50", "125.50"]


@pytest.mark.parametrize(
    ("cell", "kind"), [("Auction", "so far"), ("Auktion (läuft)", "so far"), ("Festpreis", "fixed")]
)
def test_a_cell_says_how_a_lot_is_sold(cell: str, kind: str) -> None:
    """A marketplace sells at fixed prices and holds auctions too."""
    fields = {"price": "40 EUR", "ends_at": "2026-03-14T20:00:00+01:00"}
    entry = Entry("north", "entry 1", "1", "Orvany 5 tor 1893-V VF", "", "", fields, {"Format": cell})
    terms, source = Terms("Wexby Market", "EUR", "marketplace"), Source("north", "lots.csv", "Wexby Market")
    assert make_lot(entry, source, terms, words=WORDS, now=NOW, home_currency="EUR")[0].price_kind == kind
