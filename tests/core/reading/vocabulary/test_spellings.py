"""The denominations of one catalogue, found by any spelling."""

from __future__ import annotations

import pytest

from watchlist.core.reading.vocabulary.spellings import Spellings, same_denomination

SPELLINGS = Spellings(["ducat", "5 kron", "half tor", "2.5 lind", "20 mark", "20 marka"])


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ("1 dukat", "ducat"), ("Dukaten", "ducat"), ("5 kronor", "5 kron"), ("5 Crowns", "5 kron"),
        ("1/2 tor", "half tor"), ("0.5 tor", "half tor"), ("2 1/2 lind", "2.5 lind"), ("2½ lind", "2.5 lind"),
        ("20 markka", None),  # of its kin the catalogue has two
        ("3 tor", None),
    ],
)  # fmt: skip
def test_a_denomination_is_found_by_any_spelling(text: str, name: str | None) -> None:
    assert SPELLINGS.find(text) == name


def test_the_first_of_two_spellings_stays() -> None:
    spellings = Spellings(["1 tor", "tors"])
    assert spellings.exactly("tor") == "1 tor"
    assert spellings.exactly("toren") is None
    assert same_denomination("One Tor") == same_denomination("tors")
