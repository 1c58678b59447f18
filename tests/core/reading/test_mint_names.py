"""A mint named in words gives the mark its pieces carry: common practice, checked against well-known marks."""

from __future__ import annotations

import pytest

from watchlist.core.reading.reader import Reader
from watchlist.core.reading.vocabulary.catalogued import Catalogued
from watchlist.core.reading.vocabulary.corrections import Correction
from watchlist.core.reading.vocabulary.vocabulary import Vocabulary
from watchlist.words import load

READER = Reader(Vocabulary(load(), ["QCG"]))


@pytest.mark.parametrize(
    ("title", "mint"),
    [
        ("1882 dollar, Carson City, XF", "CC"),
        ("1921 silver dollar Denver mint VF", "D"),
        ("5 Francs 1868 Napoléon III, Strasbourg, TB", "BB"),
        ("5 Mark 1904 Deutsches Reich Hamburg ss-vz", "J"),
        ("8 reales 1834 Zacatecas OM plata MBC", "Zs"),
        ("Sovereign 1899 Victoria Melbourne VF", "M"),
        ("Penny 1919 Melbourne VF", None),  # the pennies of those years carry no letter
        ("5 francs 1960 Paris SUP", None),  # since 1898 without a letter
        ("Médaille argent 1867 Exposition universelle Paris", None),
        ("quarter dollar 1898 not New Orleans F", None),
        ("dollar 1884 New Orleans or San Francisco F", None),  # two names: none is taken
        ("1893-S dollar San Francisco VG", "S"),
    ],
)
def test_the_name_gives_the_mark(title: str, mint: str | None) -> None:
    assert READER.read(title).mint == mint


def test_a_catalogue_that_writes_names_out_finds_them_in_titles() -> None:
    reader = Reader(
        Vocabulary(load(), catalogued=Catalogued(mints=["Karsk", "M"], countries=["Orvany"], denominations=["5 tor"]))
    )
    reading = reader.read("Orvany 5 tor 1893 Karsk VF")
    assert (reading.mint, reading.grade_low) == ("Karsk", 20)


def test_a_name_can_be_taught() -> None:
    taught = [Correction("Mersa", "mint", "M", "")]
    reader = Reader(
        Vocabulary(load(), corrections=taught, catalogued=Catalogued(countries=["Orvany"], denominations=["5 tor"]))
    )
    assert reader.read("Orvany 5 tor 1893, Mersa, VF").mint == "M"
    assert reader.read("Orvany 5 tor 1893, VF").mint is None
