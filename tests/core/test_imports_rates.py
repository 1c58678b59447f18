"""Rows of exchange rates."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest

from tests.core.made_imports import context, table
from watchlist.core.imports import Imported, ImportRefused
from watchlist.core.imports.driver import take
from watchlist.core.imports.kinds import KINDS
from watchlist.core.imports.rates import RateRow


def rates(text: str, **options: Any) -> Imported[RateRow]:
    return take(KINDS["rates"], table(text, "rates"), context(**options))


def test_rates() -> None:
    read = rates(
        "month;currency;units_per_EUR\n2024-01;GBP;0,8612\n01/2024;JPY;160,5\n2024-02-28;$;1,0852\n"
        "2024-02;CHF;0\n13/2024;CHF;1\n"
    )
    assert read.records == (
        RateRow("GBP", "2024-01", Decimal("0.8612")),
        RateRow("JPY", "2024-01", Decimal("160.5")),
        RateRow("USD", "2024-02", Decimal("1.0852")),
    )
    assert [str(one) for one in read.set_aside] == [
        "line 5: the rate `0` is not a rate above zero; row rejected",
        "line 6: the month `13/2024` is not a valid month; row rejected",
    ]


def test_rates_for_another_home_currency_are_refused() -> None:
    with pytest.raises(ImportRefused, match=r"units_per_USD.*home currency is EUR"):
        rates("month,currency,units_per_USD\n2024-01,GBP,0.8\n")
    with pytest.raises(ImportRefused, match="units_per_EUR"):
        rates("month,currency,rate\n2024-01,GBP,0.8\n")


def test_marks_in_rates() -> None:
    read = rates('month,currency,units_per_EUR\n2024-01,GBP,0.861\n2024-01,JPY,"1,250"\n2024-01,USD,1.0852\n')
    assert [row.units for row in read.records] == [Decimal("0.861"), Decimal(1250), Decimal("1.0852")]


@pytest.mark.parametrize(
    "heading",
    [
        "units_per_EUR",
        "unitsPerEUR",
        "unitspereur",
        "Einheiten je EUR",
        "pro EUR",
        "unités par EUR",
        "per €",
        "Kurs (EUR)",
        "Kurs je EUR",
        "taux par EUR",
        "koers per EUR",
        "Rate (EUR)",
        "tipo por EUR",
        "cambio per EUR",
    ],
)
def test_headings_that_say_for_one_unit_of_which_currency(heading: str) -> None:
    (rate,) = rates(f"month,currency,{heading}\n2024-01,GBP,0.8613\n", home="EUR").records
    assert rate.units == Decimal("0.8613")


@pytest.mark.parametrize(
    "heading",
    [
        "Kurs",
        "Wechselkurs",
        "Rate",
        "Taux",
        "Cambio",
        "koers",
        "tipo",
        "exchange rate",
        "tasso",
        "cours",
        "wisselkoers",
        "tipo de cambio",
        "taux de change",
        "tasso di cambio",
    ],
)
def test_a_heading_without_a_currency_is_refused_with_what_to_write(heading: str) -> None:
    """Units for one EUR or EUR for one unit: nothing says which."""
    why = rf"^The heading `{heading}` of the rates names no currency.*`units_per_EUR`"
    with pytest.raises(ImportRefused, match=why):
        rates(f"month,currency,{heading}\n2024-01,GBP,0.8613\n")


@pytest.mark.parametrize("heading", ["rate in EUR", "Kurs in EUR", "taux en EUR", "rate_in_EUR", "cambio (in EUR)"])
def test_rates_the_other_way_round_are_refused(heading: str) -> None:
    with pytest.raises(ImportRefused, match="`units_per_EUR`"):
        rates(f"month,currency,{heading}\n2024-01,GBP,1.161\n")


@pytest.mark.parametrize("heading", ["units_per_USD", "Kurs (USD)", "je CHF", "par GBP", "rate USD"])
def test_another_base_is_named(heading: str) -> None:
    with pytest.raises(ImportRefused, match=r"gives rates for one (USD|CHF|GBP), but the home currency is EUR"):
        rates(f"month,currency,{heading}\n2024-01,SEK,11\n")
