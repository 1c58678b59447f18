"""Grades in columns: the coinage of a row says which scale its words and figures are of, as in a title.

Bands: tests/data/grade_scales.csv. The coins are invented ones of units that real scales go with.
"""

from __future__ import annotations

from typing import Any

import pytest

from tests.core.made_imports import WORDS, context, table
from tests.core.orvany import TONGUES
from watchlist.core.coins.catalogue import Catalogue
from watchlist.core.coins.issue import Issue
from watchlist.core.imports.driver import take
from watchlist.core.imports.kinds import KINDS
from watchlist.core.reading.reader import Reader
from watchlist.core.reading.vocabulary.catalogued import Catalogued
from watchlist.core.reading.vocabulary.vocabulary import Vocabulary

COINS = {
    "crown": ("Kelmark", "2 kronor", 1877),
    "lira": ("Castellara", "5 lire", 1871),
    "grosz": ("Polesia", "2 grosze", 1839),
    "tor": ("Orvany", "1 tor", 1893),
    "ore": ("Kelmark", "25 öre", 1874),
    "franc": ("Montelle", "5 francs", 1850),
    "peseta": ("Sorvina", "5 pesetas", 1870),
    "heller": ("Bregenwald", "20 heller", 1893),
}
CATALOGUE = Catalogue([Issue(key, *coin) for key, coin in COINS.items()], TONGUES)
READER = Reader(
    Vocabulary(
        WORDS,
        ["QCG"],
        catalogued=Catalogued(
            denominations=[coin[1] for coin in COINS.values()], countries=sorted({coin[0] for coin in COINS.values()})
        ),
    )
)
Band = tuple[int | None, int | None]


def known(kind: str, text: str) -> Any:
    return table(text, kind), context(reader=READER, catalogue=CATALOGUE)


def as_price(coin: str, grade: str) -> Band | str:
    country, denomination, year = COINS[coin]
    head = "sale_date,country,denomination,year,grade,hammer,currency\n"
    read = take(
        KINDS["prices"], *known("prices", f'{head}2025-03-01,{country},{denomination},{year},"{grade}",50,EUR\n')
    )
    return (read.records[0].grade_low, read.records[0].grade_high) if read.records else str(read.set_aside[0])


def as_price_by_key(coin: str, grade: str) -> Band | str:
    read = take(KINDS["prices"], *known("prices", f'sale_date,issue,grade,hammer\n2025-03-01,{coin},"{grade}",50\n'))
    return (read.records[0].grade_low, read.records[0].grade_high) if read.records else str(read.set_aside[0])


def as_guide(coin: str, grade: str) -> Band | str:
    read = take(KINDS["guide"], *known("guide", f'issue,grade,low,high\n{coin},"{grade}",50,60\n'))
    return (read.records[0].grade_low, read.records[0].grade_high) if read.records else str(read.set_aside[0])


def as_lot(coin: str, grade: str) -> Band:
    country, denomination, year = COINS[coin]
    read = READER.read(f"{country} {denomination} {year}", "", {"grade": grade})
    return read.grade_low, read.grade_high


CASES = [
    ("crown", "1+", 35, 45),
    ("crown", "01", 50, 58),
    ("crown", "1+/01", 35, 58),
    ("crown", "0", 60, 64),
    ("ore", "1", 15, 30),
    ("ore", "kv 1+", 35, 45),
    ("ore", "kv. 01", 50, 58),
    ("ore", "1-", 4, 12),
    ("lira", "SPL", 50, 58),
    ("lira", "FDC", 64, 70),
    ("lira", "qFDC", 60, 63),
    ("lira", "q.SPL", 45, 50),
    ("lira", "BB", 30, 40),
    ("lira", "B", 4, 8),
    ("franc", "SPL", 60, 63),
    ("franc", "FDC", 65, 70),
    ("franc", "TTB", 35, 45),
    ("peseta", "FDC", 65, 70),
    ("peseta", "MBC", 20, 35),
    ("heller", "st", 64, 70),
    ("heller", "vz-st", 58, 63),
    ("heller", "PP", 60, 70),
    ("tor", "VF", 20, 35),
    ("lira", "VF", 20, 35),
    ("grosz", "stan 3", 20, 40),
    ("grosz", "stan II", 45, 58),
    ("grosz", "2+", 55, 58),
    ("grosz", "II", 45, 58),
    ("grosz", "3-", 15, 20),
    ("lira", "MS 64", 64, 64),
    ("crown", "PF 65", 65, 65),
    ("crown", "VF-30", 30, 30),
]


@pytest.mark.parametrize(("coin", "text", "low", "high"), CASES)
def test_one_word_is_one_grade_in_every_column_and_in_the_title(coin: str, text: str, low: int, high: int) -> None:
    assert as_price(coin, text) == (low, high)
    assert as_price_by_key(coin, text) == (low, high)
    assert as_guide(coin, text) == (low, high)
    assert as_lot(coin, text) == (low, high)
    country, denomination, year = COINS[coin]
    titled = READER.read(f"{country} {denomination} {year}, {text}")
    assert titled.grade_low in (low, None)


@pytest.mark.parametrize(
    ("coin", "text", "low", "high"),
    [
        ("tor", "45", 45, 45),
        ("crown", "45", 45, 45),
        ("lira", "40-45", 40, 45),
        ("tor", "3", 3, 3),
        ("lira", "1", 1, 1),
        ("crown", "12", 12, 12),
        ("crown", "40/45", 40, 45),
        ("ore", "70", 70, 70),
        ("tor", "65+", 65, 65),
    ],
)
def test_numbers_of_the_70_point_scale(coin: str, text: str, low: int, high: int) -> None:
    assert as_price(coin, text) == as_guide(coin, text) == (low, high)


@pytest.mark.parametrize("coin", ["lira", "tor", "franc", "heller"])
@pytest.mark.parametrize("text", ["1+", "01", "0", "2+", "3-", "1+/01", "II"])
def test_a_figure_of_a_scale_that_the_coinage_has_not_is_set_aside(coin: str, text: str) -> None:
    for read in (as_price(coin, text), as_price_by_key(coin, text), as_guide(coin, text)):
        assert "is not a known grade: it is a figure of a national scale" in str(read)
    assert as_lot(coin, text) == (None, None)


@pytest.mark.parametrize(
    ("coin", "text", "low", "high"),
    [
        ("crown", "1+", 35, None),
        ("crown", "01", 50, None),
        ("lira", "SPL", 50, None),
        ("franc", "SPL", 60, None),
        ("tor", "40-55", 40, 55),
        ("tor", "VF", 20, None),
        ("grosz", "III", 20, None),
        ("tor", "45", 45, None),
    ],
)
def test_the_lowest_grade_of_a_want(coin: str, text: str, low: int, high: int | None) -> None:
    country, denomination, year = COINS[coin]
    head = "country,denomination,year,min_grade,ceiling,ceiling_currency\n"
    (want,) = take(KINDS["wants"], *known("wants", f'{head}{country},{denomination},{year},"{text}",50,EUR\n')).records
    assert (want.min_grade, want.max_grade) == (low, high)
