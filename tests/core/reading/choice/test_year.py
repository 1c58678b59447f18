"""Which of the dates is the piece's, and when there are several."""

from __future__ import annotations

import pytest

from tests.core.reading.scanned import VOCABULARY, scan
from watchlist.core.reading.choice.draft import Draft
from watchlist.core.reading.choice.year import all_years, choose_year, mark_several_years
from watchlist.core.reading.fields.dates import find_dates
from watchlist.core.reading.fields.facevalues import find_values


def dated(title: str, *, multiple: bool = False) -> Draft:
    draft = Draft(scan(title), VOCABULARY)
    draft.values, draft.dates, draft.many.multiple = find_values(draft.scan), find_dates(draft.scan, None), multiple
    return draft


@pytest.mark.parametrize(
    ("title", "multiple", "year", "others"),
    [
        ("5 marks 1889", False, 1889, []),
        ("5 marks 1889, 1890", False, None, []),
        ("5 marks 1889 (1890)", False, 1889, [("year", "1890")]),
        ("5 marks 1890-1895", False, None, []),
        ("5 marks 1889 and 1890-1895", True, None, []),
        ("denarius AD 98", False, 98, []),
    ],
)
def test_the_one_year(title: str, multiple: bool, year: int | None, others: list[tuple[str, str]]) -> None:
    draft = dated(title, multiple=multiple)
    assert (choose_year(draft), draft.other) == (year, others)
    assert ("year" in draft.unsure) == bool(others)


@pytest.mark.parametrize(
    ("title", "multiple", "years"),
    [
        ("5 marks 1889, 1891", False, (1889, 1891)),
        ("5 marks 1889-1891", True, (1889, 1890, 1891)),
        ("5 marks 1889-1891", False, ()),
        ("5 marks 1889-1891 (1890)", True, (1889, 1890, 1891)),
        ("5 marks 1500-1891", True, ()),
        ("5 marks", True, ()),
    ],
)
def test_all_years_of_a_lot_of_several(title: str, multiple: bool, years: tuple[int, ...]) -> None:
    assert all_years(dated(title, multiple=multiple), None) == years


@pytest.mark.parametrize(
    ("title", "several"),
    [
        ("5 marks 1889, 1890", True),
        ("5 marks 1889 (1890)", False),
        ("florins 1889-1895", True),
        ("florin 1889-1895", False),
        ("5 marks 1889-1895", False),
    ],
)
def test_years_that_make_a_lot_of_several(title: str, several: bool) -> None:
    draft = dated(title)
    mark_several_years(draft)
    assert draft.many.multiple == several
