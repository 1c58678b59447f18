"""Years of other eras, each calendar inside and outside the years it writes."""

from __future__ import annotations

import pytest

from tests.core.reading.scanned import free_words, scan
from watchlist.core.reading.fields.dates import find_dates
from watchlist.core.reading.fields.eras import common_year, roman


@pytest.mark.parametrize(
    ("era", "number", "year"),
    [
        ("hijri", 1327, 1909),
        ("hijri", 1501, None),
        ("hebrew", 5709, 1949),
        ("hebrew", 709, None),
        ("-543", 2505, 1962),
        ("-543", 2200, None),
        ("-57", 1955, 1898),
        ("-57", 1700, None),
        ("1867", 3, 1870),
        ("1867", 141, None),
        ("7", 1990, 1997),
        ("621", 1479, None),
    ],
)
def test_a_year_of_another_era(era: str, number: int, year: int | None) -> None:
    found = common_year(era, number)
    assert (found[0] if found else None) == year


@pytest.mark.parametrize(
    ("figures", "value"), [("mdccclxxxix", 1889), ("xiv", 14), ("iiii", 4), ("mix", 1009), ("mxm", 0), ("abc", 0)]
)
def test_roman_figures(figures: str, value: int) -> None:
    assert roman(figures) == value


@pytest.mark.parametrize(
    ("title", "country", "year"),
    [
        ("5 kurush AH 1327", "TR", 1909),
        ("5 kurush 1327 AH", "TR", 1909),
        ("tor Meiji 3", "JP", 1870),
        ("tor 3 Meiji", "JP", None),
        ("1304 SH", "IR", 1925),
        ("1304 sh", "IR", None),
        ("5 kurush 1293/33", "TR", 1907),
        ("5 kurush 1293/33", "IT", None),
        ("5 dinar 1342", "IR", 1923),
        ("5 dinar 1342", "IT", None),
        ("dollar year 3", "CN", 1914),
        ("dollar year 41", "CN", None),
        ("5 francs an 12", "FR", 1803),
        ("5 francs an 15", "FR", None),
        ("5 francs AN XI", "FR", 1802),
        ("5 francs AN II", "FR", None),
        ("denarius AD 98", None, 98),
        ("denarius AD 98-117", None, None),
        ("denarius ca 98 AD", None, None),
    ],
)
def test_the_era_of_a_title(title: str, country: str | None, year: int | None) -> None:
    dates = find_dates(scan(title), country)
    assert (dates.era.year if dates.era else None) == year


@pytest.mark.parametrize(("title", "left"), [("stater 44 BC", []), ("stater 98-44 BC", []), ("stater 1890 BC", [1890])])
def test_years_before_christ_are_taken(title: str, left: list[int]) -> None:
    scanned = scan(title)
    assert [year.year for year in find_dates(scanned, None).found] == left
    assert ("BC" in free_words(scanned)) == bool(left)


def test_a_roman_date_counts_where_no_other_stands() -> None:
    assert [year.year for year in find_dates(scan("ducat MDCCCLXXXIX"), None).found] == [1889]
    assert [year.year for year in find_dates(scan("ducat 1650 MDCCCLXXXIX"), None).found] == [1650]
