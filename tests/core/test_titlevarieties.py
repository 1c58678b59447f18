"""What a title says of varieties, what notes say of mints and eras, and typed coins that use either."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.core.orvany import TONGUES
from watchlist.core.coins.catalogue import Catalogue, Issue
from watchlist.core.coins.eras import ERAS, told_era
from watchlist.core.coins.mintnotes import places
from watchlist.core.coins.titlevarieties import told
from watchlist.core.coins.varieties import of_variety


def issue(key: str, year: int = 1893, mint: str = "", variety: str = "", note: str = "") -> Issue:
    return Issue(key, "Orvany", "5 tor", year, mint, variety, note=note)


ISSUES = [issue("plain"), *(issue(key, variety=key) for key in ("dot", "no dot", "F on thigh"))]
NO = ("no", "without", "ohne", "sans", "senza", "sin", "zonder", "utan", "uden", "sem", "bez", "not")


@given(st.text(max_size=80), st.text(max_size=30))
@settings(max_examples=50, deadline=None)
def test_never_raises(title: str, variety: str) -> None:
    said = told(title, [*ISSUES, issue("any", variety=variety)], TONGUES)
    assert not {each.key for each in said.named} & {each.key for each in said.denied}


@given(st.sampled_from(NO))
def test_a_denied_variety_is_never_named(word: str) -> None:
    said = told(f"5 tor 1893 {word} dot VF", ISSUES, TONGUES)
    assert [each.key for each in said.named] == ["no dot"]
    assert "dot" in [each.key for each in said.denied]


def test_what_one_denies_the_other_is_not() -> None:
    assert [each.key for each in of_variety(ISSUES, "ohne Punkt", TONGUES)] == ["no dot"]
    assert [each.key for each in of_variety(ISSUES, "with dot", TONGUES)] == ["dot"]


@pytest.mark.parametrize(
    ("note", "mint", "found"),
    [
        ("mint G = Grevenau", "G", {"grevenau"}),
        ("mint H: Harrowgard; proof only", "H", {"harrowgard"}),
        ("mint = Karsk", "", {"karsk"}),
        ("rare; Mzz. T = Tarn Vale", "T", {"tarn vale"}),
        ("Zs = Zelmora", "Zs", {"zelmora"}),
        ("mint H = Harrowgard", "G", set()),  # the mark of another issue
        ("mint mark: small", "", set()),
        ("mint = Unknown", "", set()),
        ("struck at Mersa", "M", {"mersa"}),
        ("Velden mint", "V", {"velden"}),
        ("", "V", set()),
    ],
)
def test_notes_name_mints(note: str, mint: str, found: set[str]) -> None:
    assert places(note, mint, TONGUES.notes) == found


@pytest.mark.parametrize(
    ("note", "year", "era"),
    [
        ("AH dated", 1293, "hijri"), ("dates are AH", 1293, "hijri"), ("AH", 1293, "hijri"), ("AH 1293", 1293, "hijri"),
        ("AH 1293", 1876, ""), ("Meiji", 30, "meiji"), ("dated SH", 1304, "solar"), ("RS: Adler", 1876, ""),
        ("VS 1957", 1900, ""), ("", 1293, ""),
    ],
)  # fmt: skip
def test_notes_name_eras(note: str, year: int, era: str) -> None:
    assert told_era(note, year) == era


def test_eras_against_published_dates() -> None:
    """1 Muharram 1293 fell on 28 January 1876, 1 Muharram 1331 on 11 December 1912 (tables of Wuestenfeld)."""
    hijri = ERAS["hijri"]
    assert hijri.base + hijri.slope * 1293 == pytest.approx(1876 + 27 / 366, abs=0.02)
    assert hijri.base + hijri.slope * 1331 == pytest.approx(1912 + 345 / 366, abs=0.02)
    assert hijri.shares(1293, 1876) > 0.9
    assert ERAS["meiji"].shares(30, 1897) == 1


def test_typed_coins_by_either_year() -> None:
    catalogue = Catalogue(
        [issue("a", 1292, note="AH dated"), issue("b", 1293, note="AH dated"), issue("c", 1890)], TONGUES
    )
    for text, key in (("AH 1293", "b"), ("1293", "b"), ("1876", "b"), ("1875", "a"), ("1890", "c")):
        found = catalogue.find_coin(f"Orvany 5 tor {text}").issue
        assert found is not None, text
        assert found.key == key, text
    assert catalogue.resolve("Orvany", "5 tor", 1876, "", None) == catalogue.by_key["b"]
    assert catalogue.find_coin("Orvany 5 tor 1880").issue is None


def test_a_typed_coin_that_denies_a_variety() -> None:
    catalogue = Catalogue([issue("p", 1894), issue("w", 1894, variety="with plume")], TONGUES)
    found = catalogue.find_coin("Orvany 5 tor 1894 without plume").issue
    assert found is not None
    assert found.key == "p"
