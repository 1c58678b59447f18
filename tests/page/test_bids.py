"""Cells of the bid list and of the plan."""

from __future__ import annotations

from datetime import UTC, date, datetime
from decimal import Decimal

import pytest

from watchlist.core.money.amount import Money
from watchlist.page.bids import fitted, short_number
from watchlist.page.lists import measured
from watchlist.page.plan import COIN, COLUMNS, PlannedBid, lines_in_cells


@pytest.mark.parametrize(
    ("id", "shown"),
    [("LM-101", "LM-101"), ("tag:wexby.example,2026:330148875", "330148875"), ("a:b", "a:b"), ("", "")],
)
def test_a_number_is_that_of_the_venue(id: str, shown: str) -> None:
    assert short_number(id) == shown


def planned(code: str, *, beside: bool = False) -> PlannedBid:
    """A bid of a plan; the coin's name is one of the longest."""
    own, home = Money(Decimal(120), code), Money(Decimal(190), "EUR")
    coin, closes = "10 lind 1913-S, XF-45 to AU-58", datetime(2026, 3, 13, 10, 37, tzinfo=UTC)
    return PlannedBid(
        "k",
        "LM-156",
        coin,
        "Lindmoor Sales",
        closes,
        "w10",
        "",
        own,
        own,
        home,
        home,
        0.004,
        home,
        own,
        home,
        (),
        beside,
    )


@pytest.mark.parametrize(
    ("width", "heads"),
    [
        (60, "closes lot coin bid cost left"),
        (80, "closes venue lot coin bid cost wins saves left"),
        (160, "closes venue lot coin for bid limit cost wins saves likely left"),
    ],
)
def test_a_plan_shows_first_what_each_bid_is_on_when_it_closes_and_what_it_leaves(width: int, heads: str) -> None:
    rows = list(lines_in_cells([planned("GBP")], [], "EUR", UTC, date(2026, 3, 3)))
    assert fitted(measured(COLUMNS, rows), width, COIN).head().split() == heads.split()


def test_a_plan_says_what_costs_count_on_and_names_currencies_that_stand_beside_others() -> None:
    rows = lines_in_cells([planned("GBP", beside=True), planned("EUR")], [planned("EUR")], "EUR", UTC, date(2026, 3, 3))
    assert [(row[5], row[7], row[8]) for row in rows] == [
        ("120 GBP", "190+", "<1%"),
        ("120 EUR", "190", "<1%"),
        ("waits", "190", "<1%"),
    ]
