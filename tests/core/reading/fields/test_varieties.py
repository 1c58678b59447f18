"""Varieties in the words of the trade."""

from __future__ import annotations

import pytest

from tests.core.reading.scanned import scan
from watchlist.core.reading.fields.dates import find_dates
from watchlist.core.reading.fields.mints import Mints
from watchlist.core.reading.fields.varieties import find_varieties


def varieties(title: str, kind: str = "coin") -> list[str]:
    scanned = scan(title)
    return find_varieties(scanned, find_dates(scanned, None).found, Mints(), kind)


@pytest.mark.parametrize(
    ("title", "found"),
    [
        ("tor 1942/1", ["overdate 2/1"]),
        ("tor 1955/55", ["doubled die obverse"]),
        ("tor 1889 6 over 5", []),
        ("tor 1886 6 over 5", ["overdate 6/5"]),
        ("tor 1889 small date", ["small date"]),
        ("tor 1889 small date?", ["small date?"]),
        ("tor 1889 no small date", []),
        ("tor D/S", ["D over S"]),
        ("tor D/X", []),
        ("tor 50/20", ["50 over 20"]),
        ("tor 3/3", ["3/3"]),
        ("tor 1/2 gulden", []),
        ("crown LVI", ["LVI edge"]),
        ("tor LVI", []),
        ("5 pesetas *18-88", ["stars 18-88"]),
        ("5 pesetas estrella 62", ["star 62"]),
        ("5 pesetas estrella 1962", []),
        ("tor reverse of 78", ["reverse of 1878"]),
        ("tor obverse of 1879", ["obverse of 1879"]),
        ("1c on 10c planchet", ["wrong planchet (10c)"]),
        ("tor planchet", []),
        ("tor VAM-34", ["VAM-34"]),
        ("tor VAM 34", ["VAM-34"]),
        ("tor O-107", ["O-107"]),
        ("tor O 107", []),
        ("tor o-107", []),
        ("tor O-1889", []),
        ("tor probe 900", []),
        ("tor probe", ["pattern"]),
        ("tor 15% off center", ["struck off center", "mint error"]),
        ("tor off center", ["struck off center"]),
    ],
)
def test_varieties(title: str, found: list[str]) -> None:
    assert varieties(title) == found


def test_a_medal_without_a_variety_says_so() -> None:
    assert varieties("1902 bronze", "medal") == ["medal"]


def test_letters_over_letters_give_the_mint_where_none_stands() -> None:
    mint = Mints()
    find_varieties(scan("tor D/S"), [], mint, "coin")
    assert mint.mint == "D"
    mint = Mints("O")
    find_varieties(scan("tor D/S"), [], mint, "coin")
    assert mint.mint == "O"
