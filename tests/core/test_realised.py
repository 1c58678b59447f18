from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.core.orvany import LINDMOOR, RATES, WEXBY, eur
from watchlist.core.fees.costs import all_in_cost
from watchlist.core.fees.premiums import Premium
from watchlist.core.fees.terms import Terms
from watchlist.core.money.amount import Money
from watchlist.core.prices.realised import (
    PriceRealised,
    Sale,
    SetAside,
    far_off,
    hammer_of,
    screen,
    to_sale,
    worst_problem,
)

TODAY = date(2026, 11, 25)


def price(amount: str | int = 1000, **more: Any) -> PriceRealised:
    values: dict[str, Any] = {
        "id": 1,
        "issue": "5tor-1893",
        "sale_date": date(2026, 11, 4),
        "price": eur(amount),
        "kind": "hammer",
        "grade_low": 20,
        "grade_high": 35,
        "venue": "Lindmoor Sales",
    }
    return PriceRealised(**(values | more))


def sale(row: PriceRealised, terms: Terms | None = LINDMOOR, kind: str = "all-in") -> Sale:
    found = to_sale(row, terms, RATES, home="EUR", kind=kind, today=TODAY)
    assert isinstance(found, Sale), found
    return found


def test_a_hammer_price_becomes_all_in_by_the_venues_terms() -> None:
    found = sale(price())
    assert found.price == 1200.0  # 1000 at 20 per cent
    assert found.grade == 27.5
    assert (found.raw, found.note) == (True, "")


def test_an_all_in_price_stays_and_a_hammer_setting_takes_the_fees_out() -> None:
    assert sale(price(1200, kind="all-in")).price == 1200.0
    assert sale(price(1200, kind="all-in"), kind="hammer").price == 1000.0
    assert sale(price(1000), kind="hammer").price == 1000.0


def test_without_terms_a_price_counts_as_written_and_says_so() -> None:
    found = sale(price(), None)
    assert found.price == 1000.0
    assert found.note == "taken as given (hammer), fees not adjusted: no terms for Lindmoor Sales"
    assert found.venue_kind == "auction"
    assert sale(price(), WEXBY).venue_kind == "marketplace"


def test_terms_in_another_currency_are_not_used() -> None:
    assert "are in EUR" in sale(price(price=Money(Decimal(80), "GBP"))).note


def test_a_foreign_price_is_exchanged_by_its_month() -> None:
    pounds = replace(LINDMOOR, currency="GBP")
    assert sale(price(price=Money(Decimal(80), "GBP")), pounds).price == pytest.approx(120.0)
    assert sale(price(kind="all-in", price=Money(Decimal(96), "GBP")), pounds, "hammer").price == pytest.approx(100.0)


@pytest.mark.parametrize(
    ("more", "reason"),
    [
        ({"issue": ""}, "issue"),
        ({"status": "unsold"}, "unsold"),
        ({"replica": True}, "copy"),
        ({"quantity": 3}, "3 pieces"),
        ({"grade_low": None}, "no grade"),
        ({"price": Money(Decimal(0), "EUR")}, "above zero"),
        ({"weight": 0.0}, "by you"),
        ({"sale_date": date(2027, 1, 1)}, "still to come"),
        ({"price": Money(Decimal(9), "SEK")}, "no exchange rate from SEK"),
    ],
)
def test_each_price_set_aside_has_a_reason(more: dict[str, Any], reason: str) -> None:
    found = to_sale(price(**more), LINDMOOR, RATES, home="EUR", kind="all-in", today=TODAY)
    assert isinstance(found, SetAside)
    assert reason in found.reason


def test_repeats_and_ten_fold_slips_are_set_aside() -> None:
    rows = [
        price(420, id=1, origin="a.csv, line 2"),
        price(420, id=2),
        price(4200, id=3),
        price(4000, id=4),
        price(4200, id=5, title="another"),
        price(430, id=6),
    ]
    kept, aside = screen(rows)
    assert [row.id for row in kept] == [1, 4, 5, 6]
    assert {a.price.id: a.reason.split()[0] for a in aside} == {2: "an", 3: "ten"}
    assert "a.csv, line 2" in aside[0].reason


def test_a_price_far_off_its_band_is_pointed_out_not_changed() -> None:
    assert far_off(Decimal(4200), Decimal(420)).startswith("10 times")
    assert far_off(Decimal(42), Decimal(420)).startswith("one 10th")
    assert far_off(Decimal(840), Decimal(420)) == ""


def test_the_gravest_problem_counts() -> None:
    assert worst_problem(("cleaned", "holed")) == "holed"
    assert worst_problem(()) == ""
    assert worst_problem(("something new",)) == "something new"


@settings(max_examples=60, deadline=None)
@given(st.decimals(1, 100_000, places=2), st.decimals(0, 40, places=1), st.decimals(0, 50, places=2))
def test_taking_fees_out_and_putting_them_on_again_agree(hammer: Decimal, pct: Decimal, post: Decimal) -> None:
    terms = Terms("x", "EUR", premium=Premium("flat", pct), shipping=post)
    all_in = all_in_cost(terms, hammer).all_in.amount
    back = hammer_of(terms, all_in)
    assert back is not None
    assert all_in_cost(terms, back).all_in.amount == all_in


def test_a_sum_below_every_fee_has_no_hammer_price() -> None:
    assert hammer_of(Terms("x", "EUR", premium=Premium(minimum=Decimal(29))), Decimal(20)) is None
