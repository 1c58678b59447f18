"""A title that leaves open which of two mints it means is not taken for either."""

from __future__ import annotations

import pytest

from watchlist import words
from watchlist.core.reading.reader import Reader
from watchlist.core.reading.vocabulary.catalogued import Catalogued
from watchlist.core.reading.vocabulary.vocabulary import Vocabulary

READER = Reader(
    Vocabulary(
        words.load(), catalogued=Catalogued(countries=["Orvany"], denominations=["5 tor"], mints=["M", "V", "KB"])
    )
)


@pytest.mark.parametrize(
    "title",
    [
        "Orvany 5 tor 1893 M or V? VF",
        "Orvany 5 tor 1893-M oder V, ss",
        "Orvany 5 tor 1893 M ou V TTB",
        "1893 M eller V 5 tor Orvany",
        "Orvany 5 tor 1893 M o V BB",
    ],
)
def test_either_mint_may_be_meant(title: str) -> None:
    read = READER.read(title)
    assert (read.mint, read.alternatives) == ("M", (("mint", "V"),))
    assert "mint" in read.unsure


@pytest.mark.parametrize(
    "title",
    [
        "Orvany 5 tor 1893 M or nearest offer",
        "Orvany 5 tor 1893-M or better",
        "Orvany 5 tor 1893 M or M VF",
    ],
)
def test_one_mint_is_meant(title: str) -> None:
    read = READER.read(title)
    assert (read.mint, read.alternatives) == ("M", ())
    assert "mint" not in read.unsure
