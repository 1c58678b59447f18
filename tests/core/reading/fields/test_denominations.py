"""A face value in canonical words: by country, by metal, as a fraction."""

from __future__ import annotations

import pytest

from tests.core.reading.scanned import VOCABULARY, scan
from watchlist.core.reading.fields.denominations import canonical, canonical_cell, worded
from watchlist.core.reading.fields.facevalues import find_values
from watchlist.core.reading.vocabulary.catalogued import Catalogued
from watchlist.core.reading.vocabulary.vocabulary import Vocabulary
from watchlist.words import load


@pytest.mark.parametrize(
    ("title", "country", "name"),
    [
        ("10c", "US", "dime"), ("10c", "CA", "10 cent"), ("10c", "FR", "10 centime"), ("10 cents", "FR", "10 cent"),
        ("5c silver", "US", "half dime"), ("5c", "US", "5 cent"), ("$1 gold", "US", "gold dollar"),
        ("$2.50", "US", "2.5 dollar"), ("1/4 dollar", "US", "quarter dollar"), ("2 dimes", None, "20 cent"),
        ("penny", "US", "cent"), ("penny", "GB", "penny"), ("1/4 penny", "GB", "farthing"),
        ("2 kroner", "SE", "2 kronor"), ("2 kroner", None, "2 kroner"), ("sixpence", "GB", "6 pence"),
    ],
)  # fmt: skip
def test_one_form_for_each_denomination(title: str, country: str | None, name: str) -> None:
    scanned = scan(title)
    best = max(find_values(scanned), key=lambda value: (value.end - value.start, value.score))
    assert canonical(best, country, scanned) == name


@pytest.mark.parametrize(
    ("number", "text"),
    [(None, "tor"), (1, "tor"), (0.5, "1/2 tor"), (1 / 3, "1/3 tor"), (2 / 3, "2/3 tor"), (0.0417, "1/24 tor"),
     (2.5, "2.5 tors"), (2_000_000, "2000000 tors"), (0.37, "0.37 tor"), (0, "0 tor")],
)  # fmt: skip
def test_numbers_are_written_as_the_trade_does(number: float | None, text: str) -> None:
    assert worded(number, "tor", "tors", alone=True) == text


def test_one_that_stands_with_its_number_keeps_it() -> None:
    assert worded(1, "mark", "mark", alone=False) == "1 mark"
    assert worded(0.5, "crown", "crowns", alone=True) == "half crown"


def test_a_cell_is_spelt_as_the_catalogue_spells_it() -> None:
    known = Vocabulary(load(), catalogued=Catalogued(denominations=["5 kron", "half tor"]))
    assert canonical_cell("5 Kronor", "Orvany", known) == "5 kron"
    assert canonical_cell("Half  Tor", "Orvany", known) == "half tor"
    assert canonical_cell("10c", "", VOCABULARY) == "dime"
    assert canonical_cell("no such thing", "Orvany", VOCABULARY) == "no such thing"
