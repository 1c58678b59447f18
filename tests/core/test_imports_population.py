"""Rows of a grading service's population counts."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest

from tests.core.made_imports import TODAY, context, table
from watchlist.core.imports.driver import take
from watchlist.core.imports.kinds import KINDS
from watchlist.core.prices.population import Count, Population

HEADS = "issue,service,grade,population,date\n"


def taken(text: str) -> Any:
    return take(KINDS["population"], table(text, "population"), context())


def test_a_row_is_one_grade_of_one_issue() -> None:
    read = taken(f'{HEADS}t2,Quill Grading,MS-63,"1,204",2026-02-01\nt2,Quill Grading,64,12,\n')
    assert read.records == (
        Count("t2", "Quill Grading", 63, 1204, date(2026, 2, 1)),
        Count("t2", "Quill Grading", 64, 12, TODAY),
    )
    assert read.notes == ("population counts without a date count as of today",)


def test_the_last_of_two_rows_that_are_one_counts() -> None:
    read = taken(f"{HEADS}t2,Quill Grading,63,5,2026-02-01\nt2,quill grading,MS-63,7,2026-02-01\n")
    assert [row.pieces for row in read.records] == [7]
    assert len(read.set_aside) == 1


@pytest.mark.parametrize(
    ("row", "why"),
    [
        ("t2,,63,5,2026-02-01", "the grading service is missing"),
        ("t2,Quill Grading,VF,5,2026-02-01", "the grade `VF` is a range"),
        ("t2,Quill Grading,63,many,2026-02-01", "the population `many` is not a valid number"),
        ("t2,Quill Grading,63,5,soon", "the date `soon`"),
        ("t9,Quill Grading,63,5,2026-02-01", "the issue `t9` is not in the catalogue"),
        ("t2,Quill Grading,splendid,5,2026-02-01", "the grade `splendid`"),
    ],
)
def test_a_row_that_cannot_be_counted_is_named(row: str, why: str) -> None:
    (aside,) = taken(f"{HEADS}{row}\nt2,Quill Grading,65,1,2026-02-01\n").set_aside
    assert why in str(aside)


def test_what_is_in_a_grade_or_better() -> None:
    found = Population("Quill Grading", TODAY, {40: 5, 63: 2, 65: 0})
    assert (found.total, found.at_or_above(60), found.at_or_above(1), found.finest) == (7, 2, 7, 63)


def test_a_column_a_grade_is_read_as_a_row_a_grade() -> None:
    """Totals count for nothing, a grade with a plus counts with its grade, empty cells and dashes are no pieces."""
    read = taken(
        "issue,service,VF,VF-20,MS-63,63+,MS-64,Total\n"
        't1,Quill Grading,,12,"1,040",3,-,1055\n'
        "t2,Quill Grading,,,0,,x,9\n"
    )
    assert [(each.issue, each.grade, each.pieces) for each in read.records] == [("t1", 20, 12), ("t1", 63, 1043)]
    assert [str(each) for each in read.set_aside] == ["line 3: the population `x` is not a valid number; row rejected"]
