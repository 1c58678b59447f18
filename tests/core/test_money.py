"""Money, exchange and price text.

`price_formats.jsonl`: 33 ways sale lists write a price, with the right reading. Fixed euro rates: Council Regulation
(EC) 2866/98. Currency codes: ISO 4217 as carried by the package babel.
"""

from __future__ import annotations

import json
from contextlib import suppress
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from watchlist.core.money.amount import (
    EURO_RATES,
    Money,
    MoneyError,
    Rates,
    cents,
)
from watchlist.core.money.text import labelled_prices, learn_decimal_mark, read_price
from watchlist.words import load

HERE = Path(__file__).parent
WORDS = load("money")
FORMATS = [json.loads(line) for line in (HERE.parent / "data/price_formats.jsonl").read_text("utf-8").splitlines()]

amounts = st.decimals(min_value=0, max_value=10**9, places=2)
codes = st.sampled_from(["EUR", "USD", "GBP", "JPY", "CHF"])
scraps = st.lists(
    st.sampled_from([*"0123456789.,'-/ €$£k%", "EUR", "kr", "Zuschlag", "Est. ", "Start", "\n", "1'250", "٣", ":"])
).map("".join)


@pytest.mark.parametrize("case", FORMATS, ids=[case["text"] for case in FORMATS])
def test_price_formats(case: dict[str, Any]) -> None:
    read = read_price(case["text"], WORDS, locale=case["locale_hint"])
    assert read.amount == (None if case["amount"] is None else Decimal(case["amount"]))
    assert read.currency == case["currency"]
    assert read.amount is not None or read.note
    if read.amount is not None:
        assert read.amount.as_tuple().exponent == -2


def test_there_are_33_formats() -> None:
    assert len(FORMATS) == 33


@pytest.mark.parametrize(
    ("text", "hints", "amount", "currency", "high"),
    [
        ("Est. $400-600", {}, "400", "USD", "600"),
        ("400 bis 600 EUR", {}, "400", "EUR", "600"),
        ("€400 – €600", {}, "400", "EUR", "600"),
        ("12,50", {"decimal_mark": ".", "currency": "EUR"}, "12.50", "EUR", None),
        ("1.250", {"decimal_mark": ","}, "1250", None, None),
        ("1.250", {"decimal_mark": "."}, "1.25", None, None),
        ("1.250", {}, "1250", None, None),
        ("1.250 KWD", {}, None, None, None),
        ("0.500", {}, "0.50", None, None),
        ("1.234.567,89", {}, "1234567.89", None, None),
        ("$45", {"currency": "AUD"}, "45", "AUD", None),
        ("$45", {"currency": "EUR"}, "45", "USD", None),
        ("kr 1500", {}, "1500", None, None),
        ("EUR300", {}, "300", "EUR", None),
        ("300EUR", {}, "300", "EUR", None),
        ("Lot 12 EUR 250", {}, None, None, None),
        ("XYZ 300", {"currency": "EUR"}, "300", None, None),
        ("120 EUR (3 bids)", {}, "120", "EUR", None),
        ("-5.00 EUR", {}, None, None, None),
        ("15.03.2026", {}, None, None, None),
        ("2026-03-15", {}, None, None, None),
        ("600-400 EUR", {}, None, None, None),
        ("12.5'3", {}, None, None, None),
        ("1,250.5'3", {}, None, None, None),
        ("12.499999", {}, "12.50", None, None),
        ("9" * 50, {}, None, None, None),
        ("", {}, None, None, None),
        ("x" * 500 + "12", {}, None, None, None),
    ],
)
def test_other_prices(text: str, hints: dict[str, Any], amount: Any, currency: str, high: Any) -> None:
    read = read_price(text, WORDS, **hints)
    assert (read.amount, read.currency, read.high) == (
        None if amount is None else Decimal(amount),
        currency,
        None if high is None else Decimal(high),
    )


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        (
            "Fine piece. Current bid: 120 EUR, 3 bids. Shipping: free",
            {"current_bid": ("120", None), "shipping": ("0", None)},
        ),
        ("Start 50,- Zuschlag 120,-", {"start_price": ("50", None), "hammer": ("120", None)}),
        ("Schätzpreis 300,00-400,00 €", {"estimate": ("300", "400")}),
        ("Est. 400-600", {"estimate": ("400", "600")}),
        ("est. 1880-1920, worn", {}),
        ("a great price 1921 issue", {}),
        ("Sofortkauf: 95 €\nVersand: 4,50 €", {"buy_now": ("95", None), "shipping": ("4.50", None)}),
        ("prix actuel\n1 250 €", {"price": ("1250", None)}),
        ("Mise à prix : 80 €", {"start_price": ("80", None)}),
        ("Price: 10 EUR ... price: 12 EUR", {"price": (None, None)}),
        ("Hammer | 310", {"hammer": ("310", None)}),
        ("base d'asta: 45,00 euro", {"start_price": ("45", None)}),
        ("huidig bod € 12,-", {"current_bid": ("12", None)}),
    ],
)
def test_labelled_prices(text: str, wanted: Any) -> None:
    found = labelled_prices(text, WORDS)
    read = {kind: (p.amount, p.high) for kind, p in found.items()}
    assert read == {
        kind: tuple(None if part is None else Decimal(part) for part in pair) for kind, pair in wanted.items()
    }


@settings(max_examples=60, deadline=None)
@given(scraps | st.text(max_size=80), st.sampled_from([None, ".", ","]), st.sampled_from([None, "EUR", "de"]))
def test_price_text_never_raises(text: str, mark: str, currency: str) -> None:
    read = read_price(text, WORDS, decimal_mark=mark, currency=currency)
    assert (read.amount is None) <= (read.currency is None and read.high is None and read.note != "")
    assert read.amount is None or read.amount >= 0
    assert read.high is None or read.amount is None or read.high >= read.amount
    labelled_prices(text, WORDS, decimal_mark=mark, currency=currency)


@settings(max_examples=60, deadline=None)
@given(
    st.sampled_from([case["text"] for case in FORMATS]),
    st.integers(0, 12),
    st.integers(0, 3),
    st.text("0123456789.,'- k", max_size=3),
)
def test_a_damaged_price_never_raises(text: str, at: int, cut: int, put: str) -> None:
    read = read_price(text[:at] + put + text[at + cut :], WORDS)
    assert read.amount is None or read.amount.as_tuple().exponent == -2


@settings(max_examples=50, deadline=None)
@given(amounts, codes)
def test_a_price_we_print_is_read_back(amount: Any, currency: str) -> None:
    read = read_price(f"{amount:,.2f} {currency}", WORDS, decimal_mark=".")
    assert (read.amount, read.currency) == (amount, currency)


@settings(max_examples=50, deadline=None)
@given(amounts, codes)
def test_money_round_trips(amount: Any, currency: str) -> None:
    money = Money(amount, currency)
    assert Money.parse(str(money)) == money
    assert Money.from_json(json.loads(json.dumps(money.json()))) == money


def test_money_shown() -> None:
    assert str(Money(Decimal("1250.00"), "EUR")) == "1,250 EUR"
    assert str(Money(Decimal("1250.5"), "EUR")) == "1,250.50 EUR"
    assert Money(Decimal("12.5"), "EUR").json() == {"amount": "12.50", "currency": "EUR"}
    assert sorted([Money(Decimal(2), "USD"), Money(Decimal(3), "EUR"), Money(Decimal(1), "USD")])[1].amount == 1


@pytest.mark.parametrize("text", ["300EUR", "300 EUR", "EUR 300", "eur300", "300.00 EUR", " 300,00 EUR "])
def test_money_typed(text: str) -> None:
    assert Money.parse(text) == Money(Decimal(300), "EUR")


@pytest.mark.parametrize(
    "text", ["", "EUR", "300", "1.250 EUR", "12 EUR 13", "EUR 12 EUR", "1e9 EUR", "12 34 EUR", "NaN EUR"]
)
def test_money_refused_in_one_sentence(text: str) -> None:
    with pytest.raises(MoneyError, match=r"^[^\n]+\.$"):
        Money.parse(text)


def test_money_of_unknown_code_is_refused_when_codes_are_given() -> None:
    with pytest.raises(MoneyError, match="XQZ"):
        Money.parse("5 XQZ", codes={"EUR"})
    assert Money.parse("5", default="EUR") == Money(Decimal(5), "EUR")


@settings(max_examples=60, deadline=None)
@given(st.text(max_size=30))
def test_typed_money_raises_only_its_own_error(text: str) -> None:
    with suppress(MoneyError):
        Money.parse(text)


@pytest.mark.parametrize(
    ("code", "units"),
    [("DEM", "1.95583"), ("FRF", "6.55957"), ("ITL", "1936.27"), ("ESP", "166.386"), ("NLG", "2.20371")],
)
def test_fixed_euro_rates(code: str, units: str) -> None:
    """Council Regulation (EC) 2866/98."""
    rates = Rates("EUR", {})
    assert EURO_RATES[code] == Decimal(units)
    assert rates.convert(Money(Decimal(units) * 100, code), date(2001, 5, 1)) == Money(Decimal(100), "EUR")


def test_old_currency_through_the_euro() -> None:
    rates = Rates("GBP", {("EUR", "2026-03"): Decimal("1.25")})
    assert rates.convert(Money(Decimal("195.583"), "DEM"), date(2026, 3, 9)) == Money(Decimal(80), "GBP")
    assert Rates("DEM", {}).convert(Money(Decimal(100), "EUR"), date(2001, 1, 1)) == Money(Decimal("195.58"), "DEM")


def test_the_nearest_month_earlier_first() -> None:
    rows = {("USD", "2025-01"): Decimal("1.10"), ("USD", "2025-06"): Decimal("1.20"), ("USD", "2025-07"): Decimal(0)}
    rates = Rates("EUR", rows)
    ten = Money(Decimal(132), "USD")
    assert rates.convert(ten, date(2025, 5, 31)) == Money(Decimal(120), "EUR")
    assert rates.convert(ten, date(2026, 6, 1)) == Money(Decimal(110), "EUR")
    assert rates.convert(ten, date(2026, 7, 1)) is None
    assert rates.convert(ten, date(2024, 12, 1)) == Money(Decimal(120), "EUR")
    assert rates.convert(ten, date(2023, 12, 1)) is None
    assert rates.convert(Money(Decimal(1), "EUR"), date(1990, 1, 1)) == Money(Decimal(1), "EUR")
    assert rates.to_home_factor("USD", date(2025, 1, 1)) == 1 / Decimal("1.10")
    assert rates.age_days(date(2025, 8, 10)) == 10
    assert Rates("EUR", {}).age_days(date(2025, 8, 10)) is None


def test_currency_codes_are_iso_4217() -> None:
    """Against the currencies in use that babel carries."""
    core = pytest.importorskip("babel.core")
    territories = core.get_global("territory_currencies").values()
    in_use = {row[0] for rows in territories for row in rows if row[2] is None}
    ours = set(WORDS["codes"].split())
    assert ours - in_use <= {"BGN"}, "left for the euro in 2026"
    assert {"EUR", "USD", "GBP", "CHF", "SEK", "JPY"} <= ours


def test_learning_the_decimal_mark() -> None:
    assert learn_decimal_mark(["12,50", "1.250", "3,00 EUR"]) == ","
    assert learn_decimal_mark(["1,250.00", "12"]) == "."
    assert learn_decimal_mark(["1.250", "2.500"]) is None
    assert learn_decimal_mark(["12,50", "12.50"]) is None
    assert learn_decimal_mark([]) is None


def test_cents_round_half_up() -> None:
    assert cents(Decimal("5.775")) == Decimal("5.78")


def test_a_label_met_twice_with_one_price_counts_once() -> None:
    assert labelled_prices("Price: 45 EUR\nnice\nPrice: 45 EUR", WORDS)["price"].amount == 45
    assert labelled_prices("Price: 45 EUR\nnice\nPrice: 54 EUR", WORDS)["price"].amount is None


def test_a_label_in_the_brackets_of_another_is_none() -> None:
    found = labelled_prices("Price (shipping): 45 EUR", WORDS)
    assert {kind: read.amount for kind, read in found.items()} == {"price": 45}


def test_the_price_after_the_former_one_counts() -> None:
    assert labelled_prices("Price: was 90 EUR now 75 EUR", WORDS)["price"].amount == 75
    assert labelled_prices("Price: was 90 EUR", WORDS).keys() == set()


@pytest.mark.parametrize("text", ["-5 EUR", "- 5 EUR", "EUR (5)"])
def test_a_figure_below_nothing_is_no_price(text: str) -> None:
    assert read_price(text, WORDS).amount is None


def test_the_mark_of_a_column_is_learnt_from_sure_figures_only() -> None:
    assert learn_decimal_mark(["1.234.567", "12", "1.250"]) == ","
    assert learn_decimal_mark(["12", "1.250", "1.25.0"]) is None


def test_a_range_with_an_end_that_can_be_read_two_ways_is_unknown() -> None:
    for text in ("900 - 1.250 EUR", "1.100 - 2500,00 EUR"):
        assert read_price(text, WORDS, decimal_mark=".").note.endswith("the source has '.' before the decimals")
