"""Rows of a guide with its prices."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import Any

from tests.core.made_imports import context, table
from watchlist.core.imports.driver import take
from watchlist.core.imports.kinds import KINDS
from watchlist.core.money.amount import Rates


def guide(text: str, **options: Any) -> Any:
    return take(KINDS["guide"], table(text, "guide"), context(**options))


def test_guide() -> None:
    read = guide("issue,grade,low,high,currency,date\nt2,VF,100,150,EUR,2025-06-01\nt2,63,900,,EUR,2025\n")
    assert [(row.issue, row.grade_low, row.grade_high, row.low, row.high, row.day) for row in read.records] == [
        ("t2", 20, 35, 100.0, 150.0, date(2025, 6, 1)),
        ("t2", 63, 63, 900.0, 900.0, date(2025, 1, 1)),
    ]


def test_guide_prices_come_into_home_currency() -> None:
    text = "denomination,year,mint,min_grade,max_grade,low,high,currency,date\n5 tor,1899,M,40,45,100,150,GBP,2025-06\n"
    assert "exchange rate of GBP" in guide(text).set_aside[0].why
    rates = Rates("EUR", {("GBP", "2025-06"): Decimal("0.8")})
    assert [(row.low, row.high) for row in guide(text, rates=rates).records] == [(125.0, 187.5)]


def test_guide_rows_that_cannot_be_used() -> None:
    read = guide("issue,grade,low,high\nt2,VF,200,100\nt9,VF,100,200\nt2,,100,200\n")
    assert [str(one).split(";")[0] for one in read.set_aside] == [
        "line 2: the low price `200` is above the high one `100`",
        "line 3: the issue `t9` is not in the catalogue",
        "line 4: the grade is missing",
    ]
