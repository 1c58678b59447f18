"""Whatever the cells hold, every row of every kind is a record or is set aside with a sentence."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.core.made_imports import WORDS, context, table
from watchlist.core.imports.driver import take
from watchlist.core.imports.kinds import KINDS
from watchlist.core.money.number import number_of
from watchlist.desk.errors import DeskError
from watchlist.desk.titles.mending import grades

ODD = ["²", "189³", "①⑨", "⓪", "12.⁵", "20①5", "4²-5⁰", "0000"]
"""Signs that count as digits and are none of a number, and a year that never was."""


@settings(max_examples=50, deadline=None)
@given(kind=st.sampled_from(sorted(KINDS)), data=st.data())
def test_every_row_is_a_record_or_set_aside(kind: str, data: st.DataObject) -> None:
    columns = WORDS["columns"]["kinds"][kind]["columns"]
    columns = [name.replace("units_per", "units_per_EUR") for name in columns]
    letters = st.characters(exclude_categories=["Cs"], exclude_characters='",;\n\r')
    cell = st.text(letters, max_size=10) | st.sampled_from(
        [
            "5 tor",
            "1899",
            "VF",
            "2024-03-01",
            "EUR",
            "120",
            "any",
            "yes",
            "40-50",
            "t2",
            "{}",
            "1e999",
            "0:5",
            "NaN",
            *ODD,
        ]
    )
    rows = data.draw(st.lists(st.tuples(*[cell] * len(columns)), max_size=4))
    text = "\n".join([",".join(columns), *(",".join(row) for row in rows)])
    read_in = table(text, kind)
    read = take(KINDS[kind], read_in, context())
    lines = {row.line for row in read_in.rows} | {one.line for one in read_in.set_aside}
    assert len(read.records) + len(read.set_aside) >= len(lines) or any("last" in note for note in read.notes)
    assert {one.line for one in read.set_aside} <= lines


GOOD = {
    "catalogue": {"issue": "own", "country": "Orvany", "denomination": "5 tor", "year": "1899", "mint": "M"},
    "prices": {"sale_date": "2025-03-12", "coin": "5 tor 1899-M VF", "hammer": "50", "currency": "EUR"},
    "wants": {"country": "Orvany", "denomination": "5 tor", "year": "1899", "min_grade": "20", "ceiling": "300"},
    "guide": {"denomination": "5 tor", "year": "1899", "mint": "M", "grade": "VF", "value": "9", "date": "2025"},
    "terms": {"venue": "Lindmoor Sales", "currency": "EUR", "premium_pct": "20"},
    "rates": {"month": "2026-02", "currency": "GBP", "units_per_EUR": "0.85"},
}


@pytest.mark.parametrize("odd", ODD)
@pytest.mark.parametrize(("kind", "column"), [(kind, column) for kind, row in GOOD.items() for column in row])
def test_digits_that_are_no_decimals_never_stop_an_import(kind: str, column: str, odd: str) -> None:
    """Such a cell costs its own row at most, with a sentence."""
    row = GOOD[kind]
    assert take(KINDS[kind], table(f"{','.join(row)}\n{','.join(row.values())}", kind), context()).records
    text = f"{','.join(row)}\n{','.join((row | {column: odd}).values())}"
    read = take(KINDS[kind], table(text, kind), context())
    assert len(read.records) + len(read.set_aside) == 1


@pytest.mark.parametrize("odd", ["²", "1.²", "²,50", "1,250.²", "①"])
def test_a_figure_of_such_digits_is_no_figure(odd: str) -> None:
    assert number_of(odd, None, three_decimals=False, signed=True)[0] is None


@pytest.mark.parametrize("typed", ["4²", "①", "40-5⁰"])
def test_a_grade_of_such_digits_is_refused_as_no_grade(typed: str) -> None:
    with pytest.raises(DeskError, match=f"`{typed}` is not a valid grade"):
        grades(typed, WORDS)
