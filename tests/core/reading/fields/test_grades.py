"""Which phrase is a grade, and how much it looks like this piece's."""

from __future__ import annotations

from collections.abc import Sequence

import pytest

from tests.core.reading.scanned import scan
from watchlist.core.reading.fields.grades import find_grades
from watchlist.core.reading.vocabulary.gradegrammar import GradeGrammar
from watchlist.core.reading.vocabulary.gradescales import Scales
from watchlist.words import load

GRAMMAR = GradeGrammar(Scales(load("grades")))


def best(title: str, order: Sequence[str] = ("us",)) -> tuple[float, int | None]:
    """Score and low end of the grade that looks most like one; zero for none."""
    found = find_grades(scan(title), GRAMMAR, order, False)
    return (round(found[0][0], 2), found[0][1].low) if found else (0, None)


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("tor VF-20", 'tor "VF-20"'),
        ("tor MS-65", "tor MS-M"),
        ("tor, good", "tor good old times"),
        ("tor F.", "tor F on thigh"),
        ("tor F", "tor F R Weber"),
        ("tor VF details", "tor VF"),
        ("tor extremely fine", "tor fine"),
    ],
)
def test_one_looks_more_like_a_grade_than_the_other(one: str, other: str) -> None:
    assert best(one)[0] > best(other)[0]


@pytest.mark.parametrize(
    ("title", "order", "found"),
    [
        ("tor not VF", ("us",), False),
        ("tor B", ("us",), False),
        ("tor B", ("fr", "us"), True),
        ("tor regular", ("us",), False),
        ("tor regular", ("es", "us"), True),
        ("tor 1+", ("scand", "us"), True),
        ("tor 1+", ("us",), False),
        ("tor 1 krona", ("scand", "us"), False),
        ("tor 01", ("scand", "us"), True),
    ],
)
def test_what_is_a_grade_in_one_language_only(title: str, order: Sequence[str], found: bool) -> None:
    assert (best(title, order)[0] > 0) == found


@pytest.mark.parametrize(
    ("title", "state"),
    [
        ("tor st. 3", True),
        ("tor st. 1 krona", False),
        ("tor St. III", False),
        ("tor ST 3", False),
        ("tor vz-st 3", False),
        ("12 st 3", False),
    ],
)
def test_the_polish_state(title: str, state: bool) -> None:
    assert (best(title)[0] == 0.95) == state
