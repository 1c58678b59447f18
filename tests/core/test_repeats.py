"""One sale told twice counts once; what may be two sales is named and counts twice."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from itertools import permutations
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.core.orvany import eur
from watchlist.core.prices.realised import PriceRealised
from watchlist.core.prices.repeats import compare, count_once

DAY = date(2026, 11, 4)


def sale(id: int, amount: int = 190, **more: Any) -> PriceRealised:
    values: dict[str, Any] = {
        "issue": "5tor-1893",
        "sale_date": DAY,
        "kind": "hammer",
        "grade_low": 30,
        "grade_high": 30,
        "venue": "Lindmoor Sales",
        "origin": f"nov.csv line {id}",
    }
    return PriceRealised(id, price=eur(amount), **(values | more))


def from_lot(id: int, amount: int = 190, **more: Any) -> PriceRealised:
    return sale(id, amount, **({"origin": "north:9", "lot": "9"} | more))


def counted(*prices: PriceRealised, own: frozenset[int] = frozenset()) -> list[int]:
    return [price.id for price in count_once(prices, own).kept]


def test_the_persons_own_word_wins_over_the_feeds() -> None:
    found = count_once([from_lot(1, 190), from_lot(2, 180)], frozenset({2}))
    assert [price.price for price in found.kept] == [eur(180)]
    assert found.aside[0].reason == "the same sale as north:9: one lot gives one price"


def test_the_newest_word_of_a_feed_counts_and_a_later_sale_of_the_lot_is_another() -> None:
    assert counted(from_lot(1, 190), from_lot(2, 195)) == [2]
    assert counted(from_lot(1, 190), from_lot(2, 195, sale_date=DAY + timedelta(days=60))) == [2, 1]


@pytest.mark.parametrize(
    "more",
    [
        {},
        {"venue": "lindmoor  sales"},
        {"lot": "9", "amount": 200, "sale_date": DAY + timedelta(days=2)},
        {"lot": "L0009"},
    ],
)
def test_a_row_of_a_file_is_the_lots_sale(more: dict[str, Any]) -> None:
    found = count_once([from_lot(1), sale(2, **more)])
    assert (len(found.kept), len(found.same), found.doubtful) == (1, 1, [])


@pytest.mark.parametrize(
    "more",
    [
        {"amount": 191},
        {"lot": "10"},
        {"issue": "5tor-1894"},
        {"venue": "Brannental Auctions"},
        {"sale_date": DAY + timedelta(days=3)},
        {"quantity": 2},
        {"kind": "all-in"},
        {"grade_low": 60, "grade_high": 60},
    ],
)
def test_another_sale_counts_and_is_not_named(more: dict[str, Any]) -> None:
    found = count_once([from_lot(1), sale(2, **more)])
    assert (len(found.kept), found.same, found.doubtful) == (2, [], [])


@pytest.mark.parametrize(
    "more",
    [
        {"venue": ""},
        {"grade_low": 20, "grade_high": 35},
        {"sale_date": DAY + timedelta(days=1)},
        {"grade_low": None, "grade_high": None},
    ],
)
def test_what_may_be_another_sale_counts_and_is_named(more: dict[str, Any]) -> None:
    found = count_once([from_lot(1), sale(2, **more)])
    assert (len(found.kept), found.same, len(found.doubtful)) == (2, [], 1)


def test_a_certificate_number_tells_one_sale_whatever_its_price() -> None:
    numbered: dict[str, Any] = {"cert_number": "5511777", "service": "QCG"}
    found = count_once([from_lot(1, 180, **numbered), sale(2, 190, **numbered)], frozenset({1}))
    assert [price.price for price in found.kept] == [eur(180)]
    assert counted(sale(1, **numbered), sale(2, sale_date=DAY + timedelta(days=5), **numbered)) == [1]
    assert counted(sale(1, **numbered), sale(2, sale_date=DAY + timedelta(days=9), **numbered)) == [1, 2]
    assert counted(sale(1, **numbered), sale(2, **(numbered | {"service": "HNS"}))) == [1, 2]
    named = count_once([sale(1, **numbered), sale(2, **numbered, venue="Brannental Auctions")])
    assert (len(named.kept), len(named.doubtful)) == (2, 1)


def test_two_lots_are_two_sales_however_alike() -> None:
    found = count_once([from_lot(1, origin="north:a1b2", lot="a1b2"), from_lot(2, origin="north:c3d", lot="c3d")])
    assert (len(found.kept), found.same, found.doubtful) == (2, [], [])


def test_of_two_equal_rows_the_second_is_another_piece() -> None:
    assert counted(from_lot(1), sale(2), sale(3)) == [1, 3]
    assert counted(sale(2), sale(3)) == [2, 3]
    assert counted(from_lot(1), from_lot(4, origin="north:10", lot="10"), sale(2), sale(3)) in ([4, 1], [1, 4])


def test_what_one_record_leaves_open_is_taken_from_the_other() -> None:
    thin = from_lot(1, title="5 tor 1893", grade_low=20, grade_high=35)
    full = sale(2, certified=True, service="QCG", cert_number="77", lot="9")
    (kept,) = count_once([thin, full]).kept
    assert (kept.id, kept.cert_number, kept.title, kept.grade_low, kept.grade_high) == (1, "77", "5 tor 1893", 30, 30)
    (own,) = count_once([replace(thin, grade_low=None, grade_high=None), full], frozenset({1})).kept
    assert (own.id, own.grade_low, own.cert_number) == (1, 30, "77")


def test_a_sale_set_aside_by_the_person_stands_for_none() -> None:
    assert counted(from_lot(1, weight=0.0), sale(2)) == [1, 2]


PRICES = st.lists(
    st.builds(
        sale,
        st.integers(1, 999),
        st.sampled_from([190, 191]),
        lot=st.sampled_from(["", "9", "10"]),
        origin=st.sampled_from(["north:9", "north:10", "x.csv line 3"]),
        cert_number=st.sampled_from(["", "7"]),
        sale_date=st.sampled_from([DAY, DAY + timedelta(days=1)]),
        venue=st.sampled_from(["", "Lindmoor Sales"]),
    ),
    max_size=6,
    unique_by=lambda price: price.id,
)


@settings(max_examples=50, deadline=None)
@given(PRICES)
def test_every_price_is_kept_or_set_aside_once_in_whatever_order(prices: list[PriceRealised]) -> None:
    found = count_once(prices)
    told = [*(price.id for price in found.kept), *(each.price.id for each in found.same)]
    assert sorted(told) == sorted(price.id for price in prices)
    for order in list(permutations(prices))[:6]:
        assert {p.id for p in count_once(order).kept} == {p.id for p in found.kept}
    for one in prices:
        for other in prices:
            assert compare(one, other) == compare(other, one)
