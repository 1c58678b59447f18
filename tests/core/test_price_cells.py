"""Cells of prices beside a column of currencies: what the one says and the other leaves open, and what is no price."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.core.test_lot_prices import NOW, lot_of
from watchlist.core.fees.terms import Terms
from watchlist.core.lots.entry import Entry
from watchlist.core.lots.lot import make_lot
from watchlist.core.lots.record import Lot
from watchlist.core.lots.source import Source
from watchlist.core.money.cell import currency_of, read_cell
from watchlist.words import load

MONEY = load("money")
FRANCS = Terms("Ostrell Coins", "CHF", "dealer")


def cell(text: str, column: str = "", kind: str = "price", **known: str) -> tuple[str, str]:
    read = read_cell(text, MONEY, kind=kind, column=column, home=known.get("home", "EUR"), currency=known.get("own"))
    assert read.amount is not None or read.note
    return f"{read.amount:f}" if read.amount is not None else "", read.currency or ""


@pytest.mark.parametrize(
    "text",
    [
        "80 VB",
        "VB 80",
        "80 VHB",
        "80 OBO",
        "ca. 80",
        "etwa 80",
        "environ 80",
        "circa 80",
        "80.00*",
        "from 80",
        "ab 80",
        "à partir de 80",
        "desde 80",
        "80 (fixed)",
        "80 incl. shipping",
        "80 inkl. Versand",
        "80 port compris",
        "~80",
        "80?",
        "Price: 80",
        "current bid 80",
        "80 per piece",
        "80 each",
        "80,-",
        "80.-",
        "80,00 netto",
        "nur 80",
        "80 + 5 P&P",
        "1 x 80",
        "80 / piece",
        "80 ono",
        "80 firm",
        "80 TTC",
        "FIX 80",
    ],
)
@pytest.mark.parametrize("code", ["CHF", "GBP", "SEK"])
def test_the_currency_column_holds_whatever_words_stand_by_the_figure(text: str, code: str) -> None:
    assert cell(text, code) == ("80.00", code)


@pytest.mark.parametrize(
    ("text", "column", "read"),
    [
        ("12.5k", "GBP", "12500.00 GBP"),
        ("1.2k", "USD", "1200.00 USD"),
        ("80", "chf", "80.00 CHF"),
        ("80", "£", "80.00 GBP"),
        ("£80", "GBP", "80.00 GBP"),
        ("$80", "CAD", "80.00 CAD"),
        ("80 kr", "SEK", "80.00 SEK"),
        ("80 Kronen", "DKK", "80.00 DKK"),
        ("Fr. 80.-", "CHF", "80.00 CHF"),
        ("80", "Euro", "80.00 EUR"),
        ("80 EUR", "lots", "80.00 EUR"),
        ("80", "-", "80.00 "),
        ("80 €", "", "80.00 EUR"),
        ("80", "US$", "80.00 USD"),
        ("=80", "GBP", "80.00 GBP"),
        ("80", "Franken", "80.00 CHF"),
    ],
)
def test_sign_and_column_that_agree(text: str, column: str, read: str) -> None:
    assert " ".join(cell(text, column)) == read


@pytest.mark.parametrize(
    ("text", "column"),
    [
        ("$80", "EUR"),
        ("80 £", "EUR"),
        ("€ 80", "CHF"),
        ("80 CHF", "USD"),
        ("80 kr", "EUR"),
        ("80 Fr.", "GBP"),
        ("80 zł", "EUR"),
        ("80 Kč", "USD"),
        ("¥80", "EUR"),
        ("80 DM", "EUR"),
        ("US$ 80", "CAD"),
        ("80 kronor", "CHF"),
        ("85p", "EUR"),
        ("80", "kr"),
        ("80", "Fr."),
        ("80", "kroner"),
        ("80", "XXQ"),
        ("80", "lots"),
        ("80", "pence"),
        ("80", "cent"),
        ("80 kr", ""),
        ("80 Fr.", ""),
        ("kr. 80", ""),
        ("80 kronor", ""),
        ("80 XXQ", ""),
        ("80 Kronen", ""),
    ],
)
def test_a_currency_that_is_contradicted_or_open_is_unknown(text: str, column: str) -> None:
    assert cell(text, column) == ("", "")


@pytest.mark.parametrize(
    ("text", "own", "home", "read"),
    [
        ("80 kr", "SEK", "EUR", "SEK"),
        ("kr 80", "NOK", "EUR", "NOK"),
        ("80 kr", "", "DKK", "DKK"),
        ("80 Fr.", "CHF", "EUR", "CHF"),
        ("80 Fr.", "", "CHF", "CHF"),
        ("80 kr", "CHF", "EUR", ""),
        ("80 kr", "EUR", "SEK", "SEK"),
        ("80 Fr.", "SEK", "EUR", ""),
        ("80 VHB", "CHF", "EUR", "CHF"),
    ],
)
def test_the_source_or_the_home_currency_settles_a_shared_mark(text: str, own: str, home: str, read: str) -> None:
    assert cell(text, own=own, home=home)[1] == read
    mark = text.replace("80", "").strip()
    if "k" in mark or "F" in mark:
        assert currency_of(mark, MONEY, own, home)[0] == read


@pytest.mark.parametrize(
    "text",
    [
        "=1+1",
        "=A1*2",
        "=SUM(B2:B9)",
        "=200*2",
        "@A1",
        "+A1*2",
        '=HYPERLINK("x",80)',
        "100-150",
        "12 - 15",
        "80 to 90",
        "80 bis 90",
        "80 à 90",
        "£80-£100",
        "2 x 50",
        "2x50",
        "50 x 2",
        "3 × 40 EUR",
        "2 * 50",
        "2 @ 50",
        "3 for 50",
        "3 für 50 EUR",
        "3 pour 50 €",
        "4 Raten zu 30",
        "4 instalments of 30 EUR",
        "10 Stück à 5 EUR",
        "5 pcs 40",
        "45,00 EUR x 2",
        "1+1",
        "80 + 5",
        "80 / 90",
        "80 EUR / 90 USD",
        "45 + 19% VAT",
        "45 EUR zzgl. 19 % MwSt.",
        "45 EUR (ex VAT)",
        "45 € HT",
        "45 € hors TVA",
        "45 EUR + IVA",
        "45 più IVA",
        "45 excl. btw",
        "45 plus sales tax",
        "est. 50",
        "Schätzpreis 50",
        "estimation 50",
        "sold 80",
        "Zuschlag 80",
    ],
)
def test_what_is_not_one_price(text: str) -> None:
    for column in ("", "EUR", "GBP"):
        assert cell(text, column) == ("", "")


@pytest.mark.parametrize(
    ("text", "kind"),
    [
        ("45 + 19% VAT", "hammer"),
        ("80 + 20% premium", "price"),
        ("100-150", "estimate"),
        ("Est. 100-150", "estimate"),
        ("sold 80", "hammer"),
        ("start 80", "start_price"),
        ("start 80", "price"),
        ("max bid 80", "ceiling"),
        ("80 incl. VAT", "price"),
        ("80 inkl. 19% MwSt.", "price"),
        ("80 TTC", "price"),
        ("80 IVA incluida", "price"),
        ("80, ohne MwSt-Ausweis", "price"),
        ("80 + postage", "price"),
        ("80 + 5 shipping", "price"),
    ],
)
def test_what_stays_a_price(text: str, kind: str) -> None:
    assert cell(text, "EUR", kind)[1] == "EUR"


@pytest.mark.parametrize(
    ("fields", "terms", "said"),
    [
        ({"price": "80 VB", "currency": "CHF"}, None, "80 CHF"),
        ({"price": "80 kr"}, None, "kr can be SEK"),
        ({"price": "80", "currency": "kr"}, None, "kr can be SEK"),
        ({"price": "80 Fr."}, FRANCS, "80 CHF"),
        ({"price": "80 Fr."}, None, "Fr. can be CHF"),
        ({"price": "$120", "currency": "GBP"}, None, "its column GBP"),
        ({"price": "100-150", "currency": "GBP"}, None, "a range"),
        ({"hammer": "=1+1"}, None, "a formula"),
        ({"current_bid": "2 x 50"}, None, "quantity x price"),
        ({"buy_now": "45 + VAT"}, None, "tax comes"),
        ({"price": "80 XXQ"}, FRANCS, "XXQ is not a currency"),
        ({"price": "80 OBO"}, FRANCS, "80 CHF"),
    ],
)
def test_lots_say_why_a_price_is_unknown(fields: dict[str, str], terms: Terms | None, said: str) -> None:
    lot = lot_of(terms=terms, **fields)
    assert said in (str(lot.price) if lot.price else lot.price_note)
    assert "no currency is given" not in lot.price_note


@pytest.mark.parametrize(
    "description",
    [
        "Price: 45,- EUR + 19% VAT",
        "Price: 45 EUR (ex VAT, 54.45 EUR incl.)",
        "Preis: 45,00 EUR zzgl. MwSt.",
        "Prix : 45 € HT",
        "Price (excl. VAT): 45 EUR",
        "Precio: 45 € + IVA",
        "Prezzo: 45 € più IVA 22%",
        "Prijs: 45 € excl. btw",
        "Buy now: 45 USD plus sales tax",
        "Price: 100-150 EUR",
        "Price: 45 kr",
        "Preis: 45 Fr.",
        "Festpreis: 45 EUR, zzgl. 19% USt.",
    ],
)
def test_prices_in_words_that_are_not_all_there_is_to_pay(description: str) -> None:
    lot = lot_of(description, terms=None)
    assert (lot.price, bool(lot.price_note)) == (None, True)


@pytest.mark.parametrize(
    "description",
    [
        "Price: 45 EUR incl. 19% VAT",
        "Preis: 45,00 EUR. Aufgeld 20% zzgl. MwSt.",
        "Prix : 45 € TTC",
        "Price: 45 EUR + 5 EUR shipping, VAT margin scheme",
        "Current bid: 45 EUR plus 20% premium and VAT",
    ],
)
def test_prices_in_words_that_stand(description: str) -> None:
    lot = lot_of(description, terms=None)
    assert lot.price is not None
    assert lot.price.amount == Decimal(45)


def test_a_swedish_source_still_reads_its_crowns() -> None:
    entry = Entry("north", "line 2", "1", "Orvany 5 tor 1893", "", "", {"price": "80 kr"})
    source = Source("north", "lots.csv", currency="SEK")
    lot: Lot = make_lot(
        entry,
        source,
        None,
        words=load(),
        now=NOW,
        home_currency="EUR",
    )[0]
    assert str(lot.price) == "80 SEK"


@given(st.text(max_size=60), st.text(max_size=8), st.sampled_from(["price", "hammer", "estimate", "ceiling", "all_in"]))
@settings(max_examples=60, deadline=None)
def test_any_cell_gives_a_price_or_a_reason(text: str, column: str, kind: str) -> None:
    read = read_cell(text, MONEY, kind=kind, column=column, home="EUR")
    assert read.amount is not None or read.note
    assert read.amount is not None or read.currency is None


@given(st.decimals(min_value=1, max_value=99_999, places=2), st.sampled_from(["EUR", "GBP", "CHF", "SEK", "USD"]))
@settings(max_examples=60, deadline=None)
def test_a_plain_figure_is_of_its_column(amount: Decimal, code: str) -> None:
    for text in (f"{amount}", f"ca. {amount}", f"{amount} VB", f"{code} {amount}", f"{amount} {code}"):
        assert cell(text, code) == (f"{amount:f}", code)


def test_a_start_price_is_no_result() -> None:
    assert read_cell("Start: 45 EUR", MONEY, kind="hammer").note == "its words say that it is a start price"
    assert read_cell("Start: 45 EUR", MONEY, kind="start_price").amount == 45
