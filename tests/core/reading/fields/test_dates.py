"""Which four figures are a date, and what is tied to one: each rule on a title that keeps it and one that does not."""

from __future__ import annotations

import pytest

from tests.core.reading.scanned import free_words, scan
from watchlist.core.reading.fields.dates import find_dates


def years(title: str) -> list[tuple[int, int | None, str]]:
    """Year, last year of a range, and figures under the date."""
    return [(year.year, year.last, year.over) for year in find_dates(scan(title), None).found]


@pytest.mark.parametrize(
    ("title", "found"),
    [
        ("5 tor 1889 VF", [1889]),
        ("5 tor 1499 VF", []),
        ("5 tor 2100 VF", []),
        ("5 tor $1889", []),
        ("5 tor #1889", []),
        ("5 tor # 1889", [1889]),
        ("tor 1900s style", []),
        ("tor 1901s style", [1901]),
        ("2000 years old", []),
        ("2001 years old", [2001]),
        ("2000 lire", []),
        ("1950 lire", [1950]),
        ("1500 reis", []),
        ("5 tor pre-1965", []),
        ("5 tor 1889, reverse of 1878", [1889]),
        ("5 tor 1889, moon of 1878", [1889, 1878]),
        ("5 tor 1889 (1890)", [1889, 1890]),
    ],
)
def test_four_figures_are_a_date_unless_they_count_or_price_something(title: str, found: list[int]) -> None:
    assert [year for year, _, _ in years(title)] == found


@pytest.mark.parametrize(
    ("title", "year", "last", "over"),
    [
        ("tor 1890-1895", 1890, 1895, ""),
        ("tor 1890 bis 1895", 1890, 1895, ""),
        ("tor 1890 t/m 1895", 1890, 1895, ""),
        ("tor 1890-95", 1890, 1895, ""),
        ("tor 1890-95%", 1890, None, ""),
        ("tor 1890 -95", 1890, None, ""),
        ("tor 1890-85", 1890, None, ""),
        ("tor 1866/67", 1866, 1867, ""),
        ("tor 1866/65", 1866, None, "65"),
        ("tor 1892/1", 1892, None, "1"),
        ("tor 1892 / 1", 1892, None, ""),
        ("tor 1886 over 5", 1886, None, "5"),
        ("tor 1886-K over 85", 1886, None, "85"),
        ("tor 1886 over 20 years", 1886, None, ""),
        ("tor 1886 over 5 lind", 1886, None, ""),
        ("tor 1886 over 1806", 1886, None, ""),
        ("dollar 1776-1976", 1976, None, ""),
    ],
)
def test_what_is_tied_to_a_date(title: str, year: int, last: int | None, over: str) -> None:
    assert years(title)[0] == (year, last, over)


@pytest.mark.parametrize(
    ("title", "found"),
    [
        ("1786 tor, official restrike of 1905", [1786]),
        ("1853 tor (struck 1953)", [1853]),
        ("1853 tor (1953)", [1853, 1953]),
        ("1786 tor, no restrike, dated 1905", [1786, 1905]),
    ],
)
def test_when_a_piece_was_struck_again_is_no_second_date(title: str, found: list[int]) -> None:
    dates = find_dates(scan(title), None)
    assert ([year.year for year in dates.found], dates.restruck) == (found, len(found) == 1)


def test_a_date_is_denied_and_taken() -> None:
    title = scan("tor not 1889 but 1890")
    assert [year.denied for year in find_dates(title, None).found] == [True, False]
    assert "1889" not in free_words(title)
