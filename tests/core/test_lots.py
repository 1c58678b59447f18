"""An entry made a lot: price and its kind, closing time, weight, seller; the same lot seen again."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import UTC, datetime, timedelta
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from watchlist.core.fees.terms import Terms
from watchlist.core.lots.entry import Entry
from watchlist.core.lots.lot import fingerprint, make_lot
from watchlist.core.lots.piece import feedback_cell, seller_cell, weight_cell, weight_in
from watchlist.core.lots.record import Lot
from watchlist.core.lots.source import Source
from watchlist.core.lots.trouble import Trouble
from watchlist.core.money.amount import Money
from watchlist.page.troubles import trouble_line
from watchlist.words import load

WORDS = load()
NOW = datetime(2026, 3, 1, 12, tzinfo=UTC)
LINDMOOR = Terms("Lindmoor Sales", "EUR", "auction", time_zone="Europe/Berlin")
OSTRELL = Terms("Ostrell Coins", "GBP", "dealer")
SOURCE = Source("lindmoor", "lots.csv", "Lindmoor Sales")


def lot_of(
    fields: Mapping[str, str],
    description: str = "",
    *,
    terms: Terms | None = LINDMOOR,
    source: Source = SOURCE,
    title: str = "5 tor 1899-M VF",
    link: str = "https://lindmoor.example/1",
) -> tuple[Lot, list[Trouble]]:
    entry = Entry("lindmoor", "entry 3", "17", title, description, link, fields)
    return make_lot(entry, source, terms, words=WORDS, now=NOW, home_currency="EUR")


def made(
    description: str = "",
    *,
    terms: Terms | None = LINDMOOR,
    source: Source = SOURCE,
    link: str = "https://lindmoor.example/1",
    **fields: str,
) -> tuple[Lot, list[Trouble]]:
    return lot_of(fields, description, terms=terms, source=source, link=link)


def offered(id: str, title: str, when: datetime) -> Lot:
    return make_lot(Entry("n", "1", id, title), SOURCE, None, words=WORDS, now=when, home_currency="EUR")[0]


def eur(amount: str) -> Money:
    return Money(Decimal(amount), "EUR")


@pytest.mark.parametrize(
    ("fields", "terms", "price", "kind"),
    [
        ({"price": "120,50"}, LINDMOOR, eur("120.50"), "so far"),
        ({"price": "120.50"}, OSTRELL, Money(Decimal("120.50"), "GBP"), "fixed"),
        ({"price": "120", "currency": "USD"}, LINDMOOR, Money(Decimal(120), "USD"), "so far"),
        ({"price": "120 CHF", "currency": "CHF"}, LINDMOOR, Money(Decimal(120), "CHF"), "so far"),
        ({"price": "95", "hammer": "110"}, LINDMOOR, eur("110"), "ended"),
        ({"price": "95", "status": "Sold"}, LINDMOOR, eur("95"), "ended"),
        ({"price": "95", "status": "sale closed"}, LINDMOOR, eur("95"), "ended"),
        ({"price": "95", "status": "active"}, LINDMOOR, eur("95"), "so far"),
        ({"price": "95", "bids": "3"}, Terms("Wexby Coin Market", "EUR", "marketplace"), eur("95"), "so far"),
        ({"price": "95"}, Terms("Wexby Coin Market", "EUR", "marketplace"), eur("95"), "fixed"),
        ({"buy_now": "95", "start_price": "40"}, LINDMOOR, eur("95"), "fixed"),
        ({"start_price": "40"}, LINDMOOR, eur("40"), "so far"),
        ({"estimate": "400-600"}, LINDMOOR, eur("400"), "estimate"),
        ({"price": "95"}, None, eur("95"), "fixed"),
        ({"price": "95", "ends_at": "2026-03-14 20:00"}, None, eur("95"), "so far"),
        ({"price": "0", "start_price": "40"}, LINDMOOR, eur("40"), "so far"),
    ],
)
def test_price_and_kind(fields: dict[str, str], terms: Terms | None, price: Money, kind: str) -> None:
    lot, _ = lot_of(fields, terms=terms)
    assert (lot.price, lot.price_kind) == (price, kind)


def test_an_estimate_keeps_its_range() -> None:
    assert made(estimate="400-600")[0].estimate_high == eur("600")
    assert made(estimate="400", estimate_high="600")[0].estimate_high == eur("600")
    assert made(price="400-600")[0].estimate_high is None


def test_the_source_says_the_kind_and_the_currency() -> None:
    source = Source("a", "a.csv", price_kind="estimate", currency="CHF")
    lot, _ = made(terms=None, source=source, price="95")
    assert (lot.price, lot.price_kind) == (Money(Decimal(95), "CHF"), "estimate")


def test_what_was_assumed_is_noted() -> None:
    assert "EUR" in made(terms=None, price="95")[0].price_note
    assert "start price" in made(start_price="40")[0].price_note
    assert made(price="95 EUR")[0].price_note == ""
    assert made(price="95", currency="EUR")[0].price_note == ""
    assert made()[0].price_note == "no price is given"


def test_prices_in_the_description() -> None:
    lot, _ = made("Nice piece\nCurrent bid: 120 EUR\nEst. 400-600")
    assert (lot.price, lot.price_kind) == (eur("120"), "so far")
    lot, _ = made("Schätzpreis: 400-600 EUR")
    assert (lot.price, lot.price_kind, lot.estimate_high) == (eur("400"), "estimate", eur("600"))


def test_a_hammer_price_in_the_description_of_an_open_lot_is_an_older_sale() -> None:
    assert made("Zuschlag: 300 EUR", ends_at="2026-03-14 20:00")[0].price is None
    assert made("Zuschlag: 300 EUR", status="beendet")[0].price_kind == "ended"


def test_a_field_that_cannot_be_read_is_named_and_the_lot_goes_on() -> None:
    lot, troubles = made(price="call us", start_price="40")
    assert lot.price == eur("40")
    assert trouble_line(troubles[0]).startswith("lindmoor, entry 3: the price `call us` gives no amount")
    lot, troubles = made(ends_at="soonish", weight="heavy", feedback="many", price="5")
    assert (lot.closes, lot.weight_g, lot.feedback, lot.price) == (None, None, None, eur("5"))
    assert len(troubles) == 3
    assert lot.closes_text == "soonish"
    assert lot.closes_note


@pytest.mark.parametrize(
    ("zone", "terms", "utc_hour"),
    [
        ("", LINDMOOR, 19),
        ("America/New_York", LINDMOOR, 1),
        ("", None, 20),
        ("No/Where", LINDMOOR, 19),
    ],
)
def test_the_zone_of_the_source_then_of_the_venue(zone: str, terms: Terms | None, utc_hour: int) -> None:
    source = Source("a", "a.csv", time_zone=zone)
    closes = made(source=source, terms=terms, ends_at="2026-03-03 20:00")[0].closes
    assert closes is not None
    assert closes.hour == utc_hour


@pytest.mark.parametrize(
    ("zone", "utc_hour"),
    [
        ("CET", 19),
        ("EST", 1),
        ("UTC", 20),
        ("Europe/Berlin", 18),
        ("America/New_York", 0),
    ],
)
def test_the_zone_of_the_entry_itself(zone: str, utc_hour: int) -> None:
    closes = made(ends_at="2026-04-03 20:00", time_zone=zone)[0].closes
    assert closes is not None
    assert closes.hour == utc_hour


def test_a_zone_in_the_text_beats_the_column() -> None:
    closes = made(ends_at="2026-03-03 20:00 CET", time_zone="EST")[0].closes
    assert closes == datetime(2026, 3, 3, 19, tzinfo=UTC)


def test_a_closing_time_in_the_description() -> None:
    assert made("Closes: 2026-03-14 20:00")[0].closes == datetime(2026, 3, 14, 19, tzinfo=UTC)


@pytest.mark.parametrize(
    ("text", "weighed"),
    [
        ("25.8 g", (25.8, 0.1)),
        ("weight 25,80 g, fine", (25.8, 0.01)),
        ("26g", (26.0, 1.0)),
        ("27,2 Gramm", (27.2, 0.1)),
        ("VG 12 G", None),
        ("1 kg", None),
        ("7,32 g fein", None),
        ("Feingewicht: 7,32 g", None),
        ("no weight", None),
        ("25.8 g or 27.2 g", None),
        ("standard weight 27.2 g, here 25.8 g", (25.8, 0.1)),
        ("9999 g", None),
    ],
)
def test_weights_in_free_text(text: str, weighed: tuple[float, float] | None) -> None:
    assert weight_in(text, WORDS) == (pytest.approx(weighed) if weighed else None)


def test_weights_of_a_column() -> None:
    assert weight_cell("25,8", WORDS) == pytest.approx((25.8, 0.1))
    assert weight_cell("ca. 25.80 g", WORDS) == pytest.approx((25.8, 0.01))
    assert weight_cell("0", WORDS) is None
    lot, _ = made("Gewicht 20 g", weight="25.8")
    assert (lot.weight_g, lot.weight_step_g) == pytest.approx((25.8, 0.1))


@pytest.mark.parametrize(
    ("text", "feedback"),
    [
        ("312", 312),
        ("(3)", 3),
        ("1,204", 1204),
        ("99.8% (1.204)", 1204),
        ("0", 0),
        ("good", None),
        ("-", None),
    ],
)
def test_feedback_cells(text: str, feedback: int | None) -> None:
    assert feedback_cell(text, WORDS) == feedback


def test_seller_and_feedback() -> None:
    assert seller_cell("ostrell_coins (312)", WORDS) == ("ostrell_coins", 312)
    assert seller_cell("ostrell_coins", WORDS) == ("ostrell_coins", None)
    lot, _ = made(seller="ostrell_coins (312)")
    assert (lot.seller, lot.feedback) == ("ostrell_coins", 312)
    lot, _ = made("Fine piece.\nSeller: hill_coins\nseller feedback 3, no returns")
    assert (lot.seller, lot.feedback) == ("hill_coins", 3)
    assert made("Bewertungen: 1.204")[0].feedback == 1204
    assert made(seller="a", feedback="7")[0].feedback == 7


def test_links_are_web_links_only() -> None:
    assert made(link="javascript:alert(1)")[0].link == ""
    assert made()[0].link == "https://lindmoor.example/1"


def test_quantity_key_and_fields_for_the_reading() -> None:
    lot, _ = made(quantity="3", grade="VF", service="QCG", plate="IV")
    assert (lot.key, lot.quantity) == ("lindmoor:17", 3)
    assert lot.fields == (("grade", "VF"), ("service", "QCG"), ("quantity", "3"))


def test_the_same_lot_with_another_id() -> None:
    before = offered("a", "5 Tor 1899-M, VF!", NOW)
    after = offered("b", "5 tor 1899 M VF", NOW + timedelta(days=9))
    assert fingerprint(before) == fingerprint(after)
    assert fingerprint(before) != fingerprint(made(seller="x")[0])


texts = st.text(max_size=60)


@settings(max_examples=60, deadline=None)
@given(
    title=texts,
    description=texts,
    fields=st.dictionaries(
        st.sampled_from(
            [
                "price",
                "hammer",
                "estimate",
                "ends_at",
                "currency",
                "weight",
                "feedback",
                "seller",
                "status",
                "quantity",
                "time_zone",
            ]
        ),
        texts | st.from_regex(r"[\d.,%()$€ -]{0,20}"),
    ),
)
def test_any_entry_makes_a_lot(title: str, description: str, fields: dict[str, str]) -> None:
    lot, _ = lot_of(fields, description, title=title)
    assert lot.price is None or lot.price.amount > 0
    assert (lot.price is None) == (lot.price_kind is None)
    assert lot.closes is None or lot.closes.tzinfo is not None
    assert lot.quantity >= 1
