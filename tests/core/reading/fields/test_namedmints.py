"""Mints by name: those known, and those that nobody knows."""

from __future__ import annotations

import pytest

from tests.core.reading.scanned import scan
from watchlist.core.reading.fields.namedmints import mint_told, named_mint, unknown_mint
from watchlist.core.reading.scanning.scan import Scan
from watchlist.core.reading.vocabulary.catalogued import Catalogued
from watchlist.core.reading.vocabulary.vocabulary import Vocabulary
from watchlist.words import load

KNOWN = Vocabulary(load(), catalogued=Catalogued(places={"velden": "V", "mersa": "M"}))


@pytest.mark.parametrize(
    ("title", "found"),
    [
        ("5 tor 1889 Velden", ("V", 3, 4)), ("5 tor 1889 Velden or Mersa", None), ("5 tor 1889 not Velden", None),
        ("5 tor 1889", None),
    ],
)  # fmt: skip
def test_a_name_gives_its_mark(title: str, found: tuple[str, int, int] | None) -> None:
    assert named_mint(Scan(title, KNOWN.lex), KNOWN.mint_names.known, "Orvany", 1889, "tor") == found


def test_a_description_names_places_of_all_kinds() -> None:
    for text, mark in (("bought in Velden", None), ("mint: Velden", "V"), ("Velden mint", "V")):
        scanned = Scan(text, KNOWN.lex, place="description")
        found = named_mint(scanned, KNOWN.mint_names.known, "Orvany", 1889, "tor")
        assert (found[0] if found else None) == mark
        assert mint_told(scanned) == bool(mark)


@pytest.mark.parametrize(
    ("title", "name"),
    [
        ("5 tor 1889 Münzstätte Nurburg", "Nurburg"), ("5 tor 1889 Nurburg mint", "Nurburg"),
        ("5 tor 1889 Nurburg-mint", "Nurburg"), ("5 tor 1805 mint Nurburg", "Nurburg"), ("5 tor 1889 Royal mint", ""),
        ("5 tor 1889 near mint", ""), ("5 tor 1889", ""),
    ],
)  # fmt: skip
def test_a_mint_that_nobody_knows(title: str, name: str) -> None:
    assert unknown_mint(scan(title)) == name
