"""A want from what is said of it: what stays, what is emptied, and every want that none can be."""

from __future__ import annotations

from contextlib import suppress
from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from watchlist.core.marks.record import Want
from watchlist.core.money.amount import Money, MoneyError
from watchlist.core.money.codes import known_codes
from watchlist.core.typed.want import TypedWords, lacking, want_from, words_of
from watchlist.core.typed.words import TypedError
from watchlist.words import load

TABLES = load()
CODES = known_codes(TABLES["money"])
WORDS = TypedWords(TABLES, "EUR", CODES)
COIN = Want("w1", "Orvany", "5 tor", 1893, "V")
FULL = replace(
    COIN,
    min_grade=40,
    max_grade=55,
    certified=True,
    ceiling=Money(Decimal(300), "USD"),
    low=Money(Decimal(100), "USD"),
    high=Money(Decimal(200), "USD"),
    quantity=2,
    filled=1,
    upgrade=True,
    priority=3,
    note="for the album",
)


def test_all_that_can_be_said() -> None:
    said = {"grade": "40-55", "certified": "yes", "ceiling": "300 USD", "low": "100", "high": "200", "quantity": "2"}
    said |= {"filled": "1", "upgrade": "y", "priority": "3", "note": "for the album"}
    assert want_from(said, COIN, WORDS) == FULL, "low and high are in the currency of the ceiling"


def test_what_is_not_named_stays_and_what_is_empty_is_emptied() -> None:
    assert want_from({}, FULL, WORDS) == FULL
    emptied = dict.fromkeys(words_of(FULL), "")
    assert want_from(emptied, FULL, WORDS) == COIN
    assert want_from({"low": "90"}, FULL, WORDS).low == Money(Decimal(90), "USD")
    assert want_from({"ceiling": "", "low": "90"}, FULL, WORDS).low == Money(Decimal(90), "EUR")


@pytest.mark.parametrize(
    ("said", "why"),
    [
        ({"ceiling": "0"}, "The ceiling is above zero, not 0 EUR"),
        ({"low": "-5 GBP"}, "The low is above zero, not -5 GBP"),
        ({"high": "0"}, "The high is above zero, not 0 EUR"),
        ({"low": "90", "high": "70"}, "The low 90 EUR is above the high 70 EUR"),
        ({"quantity": "0"}, "A want is for one piece or more, of which none or some are filled"),
        ({"filled": "-1"}, "A want is for one piece or more, of which none or some are filled"),
        ({"quantity": "two"}, "Quantity is a whole number, not `two`"),
        ({"filled": "1.5"}, "Filled is a whole number, not `1.5`"),
        ({"priority": "high"}, "Priority is a whole number, not `high`"),
        ({"certified": "PVG"}, "Certified is yes, no or any, not `PVG`"),
        ({"upgrade": "any"}, "Upgrade is yes or no, not `any`"),
        ({"grade": "fine-ish"}, "`fine-ish` is not a valid grade: write 40-55, VF-30 or VF"),
        ({"grade": "60-50"}, "`60-50` is not a valid range of the 70-point scale"),
    ],
)
def test_what_no_want_can_be(said: dict[str, str], why: str) -> None:
    with pytest.raises(TypedError) as refused:
        want_from(said, COIN, WORDS)
    assert str(refused.value) == why


def test_an_amount_that_cannot_be_read_says_how_to_write_it() -> None:
    with pytest.raises(MoneyError, match="write it like 300 EUR"):
        want_from({"ceiling": "lots"}, COIN, WORDS)


def test_amounts_of_two_currencies_are_not_compared() -> None:
    assert want_from({"low": "90 GBP", "high": "70 EUR"}, COIN, WORDS).low == Money(Decimal(90), "GBP")


@pytest.mark.parametrize(
    ("want", "lacks"),
    [
        (FULL, ""),
        (COIN, "A want needs a ceiling, all-in, such as 300 EUR"),
        (replace(FULL, high=None), "Your own band needs both ends, low and high"),
        (replace(FULL, low=None, high=None), ""),
    ],
)
def test_what_a_want_lacks(want: Want, lacks: str) -> None:
    assert lacking(want) == lacks


amounts = st.none() | st.builds(Money, st.integers(1, 9_999_999).map(lambda n: Decimal(n) / 100), st.just("EUR"))
wants = st.builds(
    replace,
    st.just(COIN),
    min_grade=st.just(20),
    max_grade=st.none() | st.integers(20, 70),
    certified=st.booleans(),
    ceiling=amounts,
    low=amounts,
    high=st.none(),
    quantity=st.integers(1, 99),
    filled=st.integers(0, 99),
    upgrade=st.booleans(),
    priority=st.integers(-9, 99),
    note=st.sampled_from(["", "for the album"]),
)


@given(wants)
def test_a_want_comes_back_from_its_own_words(want: Want) -> None:
    assert want_from(words_of(want), COIN, WORDS) == want


@settings(max_examples=80, deadline=None)
@given(st.dictionaries(st.sampled_from(sorted({*words_of(FULL), "priority"})), st.text(max_size=10)))
def test_any_words_give_a_want_or_one_sentence(said: dict[str, str]) -> None:
    with suppress(TypedError, MoneyError):
        assert want_from(said, FULL, WORDS).id == "w1"
