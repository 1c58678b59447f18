"""Amounts of a person's own files: what is not one price is set aside with its reason, and what is one is taken."""

from __future__ import annotations

import pytest

from tests.core.made_imports import context, prices, table, wants
from watchlist.core.imports.driver import take
from watchlist.core.imports.kinds import KINDS

HEAD = "sale_date;denomination;year;mint;grade;hammer;currency;source\n"


def sale(hammer: str, code: str = "EUR", source: str = "", **known: object) -> str:
    read = prices(f"{HEAD}2025-03-01;5 tor;1899;M;VF;{hammer};{code};{source}\n", **known)
    return str(read.records[0].price) if read.records else str(read.set_aside[0])


@pytest.mark.parametrize(
    ("hammer", "code", "why"),
    [
        ("=1+1", "EUR", "a formula"),
        ("=200*2", "EUR", "a formula"),
        ("=B2*1.2", "GBP", "a formula"),
        ("12-15", "EUR", "a range"),
        ("100 bis 150", "EUR", "a range"),
        ("80 to 90", "GBP", "a range"),
        ("$80", "EUR", "says USD, its column EUR"),
        ("80 £", "EUR", "says GBP, its column EUR"),
        ("80 kr", "EUR", "kr beside it is not EUR"),
        ("Fr. 80", "GBP", "is not GBP"),
        ("est. 50", "EUR", "an estimate"),
        ("Schätzung 50", "EUR", "an estimate"),
        ("2 x 50", "EUR", "quantity x price"),
        ("3 für 50", "EUR", "quantity x price"),
        ("start 50", "EUR", "a start price"),
        ("80", "kr", "not a known currency"),
        ("80", "Fr.", "not a known currency"),
        ("80 kr", "", "kr can be SEK"),
        ("80 XXQ", "", "XXQ is not a currency"),
        ("1+1", "EUR", "a sum"),
        ("80 CHF", "EUR", "says CHF, its column EUR"),
        ("80", "pence", "not a known currency"),
    ],
)
def test_a_doubtful_result_is_set_aside_with_its_reason(hammer: str, code: str, why: str) -> None:
    assert why in sale(hammer, code)
    assert "row rejected" in sale(hammer, code)


@pytest.mark.parametrize(
    ("hammer", "code", "taken"),
    [
        ("80", "GBP", "80 GBP"),
        ("1.250,50", "EUR", "1,250.50 EUR"),
        ("ca. 15", "CHF", "15 CHF"),
        ("50*", "EUR", "50 EUR"),
        ("$80", "USD", "80 USD"),
        ("$80", "CAD", "80 CAD"),
        ("80 kr", "SEK", "80 SEK"),
        ("£80", "GBP", "80 GBP"),
        ("80 €", "", "80 EUR"),
        ("Zuschlag 80", "EUR", "80 EUR"),
        ("80 + 20% premium", "EUR", "80 EUR"),
        ("1 x 80", "EUR", "80 EUR"),
        ("80", "€", "80 EUR"),
        ("80 VB", "CHF", "80 CHF"),
        ("12.5k", "GBP", "12,500 GBP"),
        ("80,-", "", "80 EUR"),
        ("80", "", "80 EUR"),
        ("80 EUR", "lots", "80 EUR"),
    ],
)
def test_a_result_that_is_plainly_given_is_taken(hammer: str, code: str, taken: str) -> None:
    assert sale(hammer, code) == taken


def test_the_currency_of_the_venue_or_of_home_settles_a_shared_mark() -> None:
    assert sale("80 kr", "", "Lindmoor Sales", venues={"Lindmoor Sales": "SEK"}) == "80 SEK"
    assert sale("80", "kr", "Lindmoor Sales", venues={"Lindmoor Sales": "NOK"}) == "80 NOK"
    assert sale("80 kr", "", home="DKK") == "80 DKK"
    assert "kr can be" in sale("80 kr", "", "Lindmoor Sales", venues={"Lindmoor Sales": "GBP"})


@pytest.mark.parametrize("said", ["not sold 50", "unverkauft 50", "invendu 50", "50 (passed)"])
def test_a_result_cell_that_says_unsold_is_no_sale(said: str) -> None:
    assert prices(f"{HEAD}2025-03-01;5 tor;1899;M;VF;{said};EUR;\n").records[0].status == "unsold"


@pytest.mark.parametrize(
    ("ceiling", "code", "read"),
    [
        ("100 kr", "EUR", ""),
        ("100 kr", "", ""),
        ("$100", "EUR", ""),
        ("80-100", "EUR", ""),
        ("=50*2", "EUR", ""),
        ("2 x 50", "GBP", ""),
        ("100", "kr", ""),
        ("ca. 80", "GBP", "80 GBP"),
        ("max 80", "EUR", "80 EUR"),
        ("80 kr", "SEK", "80 SEK"),
        ("1.234,50", "EUR", "1,234.50 EUR"),
        ("80 €", "", "80 EUR"),
        ("bis 80", "CHF", "80 CHF"),
    ],
)
def test_the_ceiling_of_a_want(ceiling: str, code: str, read: str) -> None:
    head = "denomination;year;mint;min_grade;ceiling;ceiling_currency\n"
    made = wants(f"{head}5 tor;1899;M;VF;{ceiling};{code}\n")
    assert [str(want.ceiling) for want in made.records] == ([read] if read else [])
    assert len(made.set_aside) == (not read)


@pytest.mark.parametrize(
    ("columns", "row", "read"),
    [
        ("low;high", "100;150", (100, 150)),
        ("value", "100-150", (100, 150)),
        ("value", "120", (120, 120)),
        ("low;high", "$100;200", None),
        ("low;high", "100;200 kr", None),
        ("low;high", "100-120;200", None),
        ("value", "=5*9", None),
        ("value", "2 x 50", None),
        ("value", "100 bis 150", (100, 150)),
    ],
)
def test_the_prices_of_a_guide(columns: str, row: str, read: tuple[float, float] | None) -> None:
    text = f"issue;grade;currency;{columns}\nt2;VF;EUR;{row}\n"
    found = take(KINDS["guide"], table(text, "guide"), context()).records
    assert [(one.low, one.high) for one in found] == ([read] if read else [])
