"""A field of a reading as the person types it: taken as it is meant, or refused by name."""

from __future__ import annotations

from typing import Any

import pytest

from watchlist import words
from watchlist.core.reading.record import Reading, Span
from watchlist.desk.errors import DeskError
from watchlist.desk.titles.mending import check_field, grades, mended

TABLES = words.load()
READ = Reading(
    "Norrland 5 tor", grade_low=30, grade_high=40, spans=(Span("grade_low", 0, 2, "VF", 0.5),), confidence=0.4
)


@pytest.mark.parametrize(
    ("field", "typed", "value"),
    [
        ("certified", "yes", True),
        ("replica", "no", False),
        ("year", " 1893 ", 1893),
        ("year", "none", None),
        ("year", "", None),
        ("mint", "V", "V"),
        ("mint", "null", None),
        ("problems", "cleaned, holed", ("cleaned", "holed")),
        ("designations", "", ()),
        ("quantity", "3", 3),
        ("grade_low", "20", 20),
    ],
)
def test_a_field_is_set(field: str, typed: str, value: Any) -> None:
    made = mended(READ, field, typed, TABLES)
    assert getattr(made, field) == value
    assert made.confidence == 0.9
    assert made.spans[-1] == Span(field, 0, 0, typed.strip(), 1.0)


def test_the_words_of_a_grade_that_was_set_are_forgotten() -> None:
    made = mended(READ, "grade", "VF", TABLES)
    assert (made.grade_low, made.grade_high) == grades("VF", TABLES)
    assert [span.field for span in made.spans] == ["grade"]


@pytest.mark.parametrize(
    ("typed", "band"),
    [("40", (40, 40)), ("40 - 50", (40, 50)), ("VF-30", (30, 30)), ("", (None, None)), ("None", (None, None))],
)
def test_grades(typed: str, band: tuple[int | None, int | None]) -> None:
    assert grades(typed, TABLES) == band


@pytest.mark.parametrize(
    ("field", "typed", "said"),
    [
        ("year", "old", "`year` is a whole number, not `old`"),
        ("year", "20000", "`year` lies between -3000 and 9999, not at 20000"),
        ("quantity", "0", "`quantity` lies between 1 and 1000000"),
        ("certified", "perhaps", "yes or no"),
        ("grade", "fine-ish", "`fine-ish` is not a valid grade: write 40, 40-50, VF-30 or VF"),
        ("grade", "50-40", "`50-40` runs backwards"),
        ("grade", "71", "`grade_low` lies between 1 and 70"),
        ("grade", "40-", "not a valid grade"),
    ],
)
def test_what_no_field_can_be_is_refused(field: str, typed: str, said: str) -> None:
    with pytest.raises(DeskError) as error:
        mended(READ, field, typed, TABLES)
    assert said in str(error.value)
    assert str(error.value).endswith("Nothing was changed.")


def test_a_word_that_is_no_field_is_refused() -> None:
    check_field("grade")
    with pytest.raises(DeskError, match="`colour` is not a field of a reading; fields are country, "):
        check_field("colour")
