"""Which letters are a mint mark: behind a year, before it, by a word, alone, denied."""

from __future__ import annotations

import pytest

from tests.core.reading.scanned import scan
from watchlist.core.reading.fields.dates import find_dates
from watchlist.core.reading.fields.mints import Mints, find_mint, is_lettering


def mints(title: str, country: str | None = "Orvany", known: str = "MVSKADJF") -> Mints:
    scanned = scan(title)
    return find_mint(scanned, find_dates(scanned, country).found, country, [*known, "KB", "Velden"])


@pytest.mark.parametrize(
    ("title", "mark"),
    [
        ("5 tor 1889-S", "S"),
        ("5 tor 1889s", "S"),
        ("5 tor 1889 (S)", "S"),
        ('5 tor 1889 "S"', "S"),
        ("5 tor (1889) S", "S"),
        ("5 tor 1889, S", None),
        ("5 tor 1889, S mint", "S"),
        ("5 tor 1889 F12", None),
        ("5 tor 1889 S-1", None),
        ("5 tor 1765 KB+", None),
        ("5 tor 1765 KB", "KB"),
        ("5 tor 1889 A.Weber", None),
        ("5 tor 1889 A.", "A"),
        ("5 tor 1889 X", None),
        ("1875 a franc", "A"),
        ("1875 a vf", None),
        ("1875 K tor", "K"),
    ],
)
def test_letters_behind_a_year(title: str, mark: str | None) -> None:
    assert mints(title).mint == mark


@pytest.mark.parametrize(
    ("title", "mark"),
    [
        ("5 tor S mint 1889", "S"),
        ("5 tor 1889 mint mark: J", "J"),
        ("5 tor 1889 not S mint", None),
        ("5 tor 1889 mzz. KB", "KB"),
        ("5 tor J 1908", "J"),
        ("5 tor of J 1908", None),
        ("tor F 1960", "F"),
        ("tor 1 F 1960", None),
        ("5 tor V 1908", None),
        ("2 tor 1888 Ulrich III. A vz-st", "A"),
        ("2 tor 1888 Ulrich III. A Weber", None),
        ("2 tor 1888 tranche A vz-st", None),
    ],
)
def test_letters_named_before_or_apart_from_the_year(title: str, mark: str | None) -> None:
    assert mints(title).mint == mark


@pytest.mark.parametrize(
    ("title", "several"),
    [("tor 1889 M,V", True), ("tor 1889 M&V", True), ("tor 1889 M,M", False), ("tor 1889 M,V-20", False)],
)
def test_a_list_of_mints(title: str, several: bool) -> None:
    assert mints(title).several == several


@pytest.mark.parametrize(
    ("title", "denied"), [("tor 1889 no D", ["D"]), ("tor no 16-D", ["D"]), ("tor 1889 no KBX", []), ("tor 1889-D", [])]
)
def test_a_mint_denied(title: str, denied: list[str]) -> None:
    assert mints(title).denied == denied


def test_the_letters_of_a_denied_year_are_denied() -> None:
    found = mints("tor not 1889-S")
    assert (found.mint, found.denied) == (None, ["S"])


def test_one_mark_over_another_and_one_or_another() -> None:
    assert mints("tor 1889-D/S").over == "S"
    assert mints("tor 1889-D/Sx").over == ""
    assert mints("tor 1889 M or V?").rival == "V"
    assert mints("tor 1889 M OR V?").rival == ""


def test_a_letter_on_the_piece_is_no_mark_and_no_grade() -> None:
    assert is_lettering(scan("F on thigh"), 0)
    assert not is_lettering(scan("F on reverse"), 0)
    assert not is_lettering(scan("F by thigh"), 0)
