"""Rules met in titles of many coinages. Facts checked from outside are named beside the check."""

from __future__ import annotations

import pytest

from watchlist.core.reading.reader import Reader
from watchlist.core.reading.vocabulary.catalogued import Catalogued
from watchlist.core.reading.vocabulary.vocabulary import Vocabulary
from watchlist.words import load

READER = Reader(
    Vocabulary(
        load(),
        ["QCG", "HNS"],
        catalogued=Catalogued(denominations=["10 lind", "1 tor", "5 tor"], countries=["Orvany"], mints=["M", "V", "S"]),
    )
)


@pytest.mark.parametrize(
    ("title", "year"),
    [
        ("Un franc AN 12 A France", 1803),  # the year 12 began on 24 September 1803
        ("France 5 centimes l'An 7 BB", 1798),
        ("Ottoman 20 kurush AH1293/33", 1907),  # 33rd year of a reign begun in 1293: 1325, which began in 1907
        ("Egypt 10 qirsh 1293/17 W", 1891),
        ("Morocco 1/2 rial 1299 Paris", 1881),
        ("Mewar rupee VS 1985 (1928)", 1928),
        ("Kutch 5 kori VS 1993", 1936),
        ("US half dollar 1776-1976 S", 1976),
        ("Schweiz 20 Franken 1935 LB", 1935),
        ("Polen 1 Zloty 1832 KG", 1832),
    ],
)
def test_years_of_other_eras(title: str, year: int) -> None:
    assert READER.read(title).year == year


def test_a_computed_year_is_said_to_be_unsure() -> None:
    for title in ("Un franc AN 12 A France", "Egypt 10 qirsh 1293/17 W", "Morocco 1/2 rial 1299"):
        assert "year" in READER.read(title).unsure


def test_a_heading_is_no_lot() -> None:
    reading = READER.read("Monedas de España. Isabel II (1833-1868). 4 reales. 1848. Sevilla. MBC.")
    assert reading.year == 1848
    assert not reading.multiple


def test_dutch_ranges() -> None:
    reading = READER.read("Cents 1877 t/m 1880, 4 stuks, gem. Fraai, Nederland")
    assert reading.years == (1877, 1878, 1879, 1880)
    assert reading.quantity == 4


@pytest.mark.parametrize(
    ("title", "band"),
    [
        ("5 złotych 1932 Polska stan III/II", (40, 45)),
        ("2 Złote 1925 Polska stan 2+", (55, 58)),
        ("Roman denarius Trajan VF/F", (12, 35)),
        ("3 MARK 1914 E SACHSEN, ST-GLANZ", (64, 70)),
        ("Italië 2 lire 1863 prachtig min", (45, 50)),
        ("Svizzera 5 franchi 1931 B SPL", (50, 58)),
        ("Russia rouble 1897 (**) F edge bumps", (12, 15)),
        ("Fiorino 1859 V. Ag. SPL", (50, 58)),
    ],
)
def test_grades(title: str, band: tuple[int, int]) -> None:
    reading = READER.read(title)
    assert (reading.grade_low, reading.grade_high) == band


@pytest.mark.parametrize(
    ("title", "denomination"),
    [
        ("1921peacedollar vf", "dollar"),
        ("#walkingliberty 1942s au58", "half dollar"),
        ("1884omorgan vf", "dollar"),
        ("Portugal 20$00 1953", "20 escudos"),
        ("Lire 10 oro 1863 T Italia", "10 lire"),
        ("1/4 de real 1842", "1/4 real"),
        ("Roma, quarto di scudo 1684", "1/4 scudo"),
        ("Henri IV quart d'écu 1603 L", "1/4 ecu"),
        ("Jersey 1/26 shilling 1844", "1/26 shilling"),
        ("Serie 5-10-25-50-100 pesetas 1980", None),
        ("2 coins: 1858-O half dollar VF, 1876-S quarter F", None),
        ("Vaticano divisionale euro 2005", "set"),
        ("10 euros Semeuse argent 2008 sous blister", "10 euro"),
        ("10 € 2003 A Museumsinsel PP", "10 euro"),
        ("Provincie Gelderland, Driegulden 1763", "3 gulden"),
        ("Köln, Dreikönigstaler 1516", "taler"),
    ],
)
def test_denominations(title: str, denomination: str | None) -> None:
    assert READER.read(title).denomination == denomination


@pytest.mark.parametrize(
    ("title", "mint"),
    [
        ("1884omorgan vf", "O"),
        ("Peru 8 reales 1833 LIMAE MM", "LIMAE"),
        ("1 Taler 1859 Preussen A, ss", "A"),
        ("10 francs Montesquieu 1989 tranche B FDC", None),
        ("1803 C-1 half cent VG-10", None),
        ("Pièce de 1 F 1960 France", None),
        ("Egypt 10 qirsh 1293/17 W", "W"),
        ("Gold sovereign 1893 veiled head Melbourne M GEF", "M"),
        ("Francesco I 1765 tallero BB+ segno", None),
    ],
)
def test_mint_marks(title: str, mint: str | None) -> None:
    assert READER.read(title).mint == mint


def test_a_small_letter_is_a_mint_mark_only_with_doubt() -> None:
    reading = READER.read("5 francs 1875 a hercule ttb")
    assert reading.mint == "A"
    assert "mint" in reading.unsure
    assert READER.read("1 franc 1850 a saisir").mint is None


@pytest.mark.parametrize(
    ("title", "quantity"),
    [
        ("four threepences 1887-1893 avg fine", 4),
        ("Mooi lot: 12 zilveren kwartjes 1904-1944", 12),
        ("5 silver dollars 1921 vf", 5),
        ("2 half eagles 1882 XF", 2),
    ],
)
def test_counts(title: str, quantity: int) -> None:
    reading = READER.read(title)
    assert reading.multiple
    assert reading.quantity == quantity


def test_a_grade_number_counts_nothing() -> None:
    assert not READER.read("AU58 silver dollars 1921").multiple
    assert not READER.read("MS 65 Morgans 1881-S").multiple


def test_holes_made_at_the_mint_are_no_problem() -> None:
    assert READER.read("Fiji 1936 penny (holed, as made) QCG MS63").problems == ()
    assert READER.read("Fiji 1936 penny, holed").problems == ("holed",)


def test_letters_of_masters_are_no_designation() -> None:
    assert READER.read("USSR 1924 PL 50 kopeks XF").designations == ()
    assert READER.read("1887 $1 MS65PL HNS").designations == ("PL",)


def test_the_catalogues_words_stay_first() -> None:
    reading = READER.read("#orvany 1tor 1896v qcg au55")
    assert (reading.country, reading.denomination, reading.mint) == ("Orvany", "1 tor", "V")
