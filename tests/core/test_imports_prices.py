"""Rows of prices realised."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest

from tests.core.made_imports import prices
from watchlist.core.imports import ImportRefused
from watchlist.core.money.amount import Money
from watchlist.core.prices.realised import PriceRealised

HEAD = "sale_date,country,denomination,year,mint,grade,certified,hammer,currency,source,status\n"


def test_prices() -> None:
    read = prices(
        HEAD + "2024-03-01,Orvany,5 tor,1899,M,VF,,120.50,EUR,Lindmoor Sales,sold\n"
        "2024-03-02,Orvany,5 tor,1899,,63,QCG,1250,GBP,Lindmoor Sales,\n"
        "2024-03-03,Orvany,5 tor,1900,V,40-45,yes,80,EUR,,unsold\n"
    )
    assert read.set_aside == ()
    first, second, third = read.records
    assert first == PriceRealised(
        0,
        "t2",
        date(2024, 3, 1),
        Money(Decimal("120.50"), "EUR"),
        "hammer",
        20,
        35,
        "VF",
        venue="Lindmoor Sales",
        origin="mine.csv line 2",
    )
    assert (second.issue, second.grade_low, second.grade_high, second.certified, second.service) == (
        "t1",
        63,
        63,
        True,
        "QCG",
    )
    assert second.price == Money(Decimal(1250), "GBP")
    assert (third.issue, third.grade_low, third.grade_high, third.certified, third.status) == (
        "t4",
        40,
        45,
        True,
        "unsold",
    )


@pytest.mark.parametrize(
    ("row", "why"),
    [
        ("2024-03-01,Orvany,5 tor,1899,M,VF,,abc,EUR,,", "the price `abc` is not a valid amount"),
        ("2024-03-01,Orvany,5 tor,1899,M,VF,,,EUR,,", "the price is missing"),
        ("2024-03-01,Orvany,5 tor,1899,M,VF,,0,EUR,,", "the price `0` is zero"),
        ("2024-03-01,Orvany,5 tor,1899,M,VF,,,EUR,,passed", "the lot was not sold, and no price is given"),
        ("2024-02-30,Orvany,5 tor,1899,M,VF,,5,EUR,,", "the sale date `2024-02-30` is not a day of the calendar"),
        ("2027-02-28,Orvany,5 tor,1899,M,VF,,5,EUR,,", "the sale date `2027-02-28` lies in the future"),
        (",Orvany,5 tor,1899,M,VF,,5,EUR,,", "the sale date is missing"),
        ("03/04/2024,Orvany,5 tor,1899,M,VF,,5,EUR,,", "the sale date `03/04/2024` can be read two ways"),
        ("2024,Orvany,5 tor,1899,M,VF,,5,EUR,,", "the sale date `2024` is not a date"),
        ("2024-03-01,Orvany,5 tor,1899,M,odd,,5,EUR,,", "the grade `odd` is not a known grade"),
        ("2024-03-01,Orvany,5 tor,1899,M,71,,5,EUR,,", "the grade `71` is not a known grade"),
        (
            "2024-03-01,Orvany,5 tor,1899,S,VF,,5,EUR,,",
            "the catalogue has this series but not Orvany 5 tor 1899-S",
        ),
        ("2024-03-01,Orvany,5 tor,1899,M,VF,,5,QQQ,,", "the price `QQQ` is not a known currency"),
        ("2024-03-01,Orvany,5 tor,1899,M,VF,,5,EUR,,perhaps", "the status `perhaps` is neither sold nor unsold"),
    ],
)
def test_a_price_that_cannot_be_used(row: str, why: str) -> None:
    read = prices(HEAD + row + "\n")
    assert read.records == ()
    assert str(read.set_aside[0]).startswith(f"line 2: {why}")


def test_the_column_decides_the_order_of_day_and_month() -> None:
    def days(*texts: str) -> list[date]:
        rows = "".join(f"{text},5 tor,1899,M,VF,5,EUR\n" for text in texts)
        read = prices("sale_date,denomination,year,mint,grade,hammer,currency\n" + rows)
        return [price.sale_date for price in read.records]

    assert days("03/04/2024", "25/04/2024") == [date(2024, 4, 3), date(2024, 4, 25)]
    assert days("03/04/2024", "04/25/2024") == [date(2024, 3, 4), date(2024, 4, 25)]
    assert days("03.04.2024", "3.4.24", "20240403", "2024/04/03") == [date(2024, 4, 3)] * 4
    assert days("3 April 2024", "3. April 2024", "3 avril 2024") == [date(2024, 4, 3)] * 3
    assert days("05/05/2024") == [date(2024, 5, 5)]


def test_semicolons_and_decimal_commas() -> None:
    read = prices(
        "datum;nominal;jahr;münzzeichen;erhaltung;zuschlag;währung\n"
        "1.3.2024;5 Tor;1899;M;VF;1.250,00;€\n2.3.2024;5 Tor;1899;M;VF;80,5;EUR\n"
    )
    assert [str(price.price) for price in read.records] == ["1,250 EUR", "80.50 EUR"]


def test_all_in_beside_hammer() -> None:
    read = prices(
        "sale_date,denomination,year,mint,grade,hammer,all_in,currency\n"
        "2024-03-01,5 tor,1899,M,VF,100,120,EUR\n2024-03-01,5 tor,1899,M,VF,,60,EUR\n"
    )
    assert [(str(price.price), price.kind) for price in read.records] == [("100 EUR", "hammer"), ("60 EUR", "all-in")]
    assert "hammer and all_in" in read.notes[0]


def test_prices_without_a_currency_column() -> None:
    text = "sale_date,denomination,year,mint,grade,hammer\n2024-03-01,5 tor,1899,M,VF,100\n"
    assert prices(text).records[0].price.currency == "EUR"
    assert "home currency" in prices(text).notes[0]
    assert prices(text, currency="GBP").records[0].price.currency == "GBP"
    assert prices(text, currency="GBP").notes == ()


def test_the_title_says_what_the_columns_do_not() -> None:
    read = prices(
        "sale_date,title,hammer,currency\n2024-03-01,5 tor 1899-M VF,100,EUR\n2024-03-01,a nice coin,5,EUR\n"
        "2024-03-01,5 tor 1899-M XF copy,100,EUR\n"
    )
    assert (read.records[0].issue, read.records[0].grade_low) == ("t2", 20)
    assert read.records[1].replica
    assert "line 3" in str(read.set_aside[0])
    assert "`a nice coin`" in str(read.set_aside[0])


def test_an_issue_of_an_unknown_series_is_implied_once() -> None:
    read = prices(HEAD + "2024-03-01,Sundland,2 krem,1870,,VF,,5,EUR,,\n2024-03-02,Sundland,2 krem,1870,,XF,,9,EUR,,\n")
    assert [issue.name for issue in read.issues] == ["Sundland 2 krem 1870"]
    assert read.issues[0].implied
    assert {price.issue for price in read.records} == {read.issues[0].key}


def test_without_a_mint_column_the_unmarked_issue_is_meant() -> None:
    read = prices(
        "sale_date,denomination,year,grade,hammer\n2024-03-01,5 tor,1899,VF,5\n2024-03-01,5 tor,1899-M,VF,5\n"
        "2024-03-01,5 tor,1900,VF,5\n"
    )
    assert [price.issue for price in read.records] == ["t1", "t2"]
    assert "several issues" in read.set_aside[0].why


def test_varieties_keys_and_problems() -> None:
    read = prices(
        "sale_date,issue,denomination,year,variety,grade,problem,hammer\n2024-03-01,t6,,,,VF,cleaned,5\n"
        "2024-03-01,,1 tor,1899,wide date,VF,rim damage,5\n2024-03-01,,1 tor,1899,,XF details,,5\n"
        "2024-03-01,,1 tor,1899,,VF,brushed,5\n2024-03-01,,1 tor,1899,,VF,odd,5\n"
    )
    assert [price.issue for price in read.records] == ["t6", "t6", "t5", "t5", "t5"]
    assert [price.problems for price in read.records] == [
        ("cleaned",),
        ("rim_damage",),
        ("details",),
        ("cleaned",),
        ("damaged",),
    ]
    assert any("`odd`" in note for note in read.notes)


def test_a_file_without_dates_or_prices_is_refused() -> None:
    with pytest.raises(ImportRefused, match="sale_date"):
        prices("denomination,year,hammer\n5 tor,1899,5\n")
    with pytest.raises(ImportRefused, match="hammer"):
        prices("sale_date,denomination,year\n2024-03-01,5 tor,1899\n")
