from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.core.orvany import CATALOGUE, ISSUES, TONGUES, issue, reading
from tests.growth import dearer
from watchlist.core.coins.catalogue import Catalogue, implied_issue
from watchlist.core.coins.issue import Issue
from watchlist.core.coins.varieties import of_variety


@pytest.mark.parametrize(
    ("said", "key", "word"),
    [
        ({}, "5tor-1893", "main mint"),
        ({"mint": "M"}, "5tor-1893M", ""),
        ({"mint": "m"}, "5tor-1893M", ""),
        ({"year": 1890}, "5tor-1890", ""),
        ({"year": 1897, "denomination": "1 tor"}, "1tor-1897V", "only V"),
        ({"country": None}, "5tor-1893", "main mint"),
        ({"country": "Orvanian", "mint": "V"}, "5tor-1893V", ""),
        ({"denied_mints": ("M",)}, "5tor-1893", "denies"),
        ({"year": 1896, "variety": "Wide Date"}, "5tor-1896wide date", ""),
        ({"year": 1896}, "5tor-1896", ""),
        ({"year": 1896, "title": "5 Tor 1896 wide date, VF"}, "5tor-1896wide date", ""),
        ({"year": 1897, "title": "5 tor 1897/6"}, "5tor-1897overdate 7/6", ""),
        ({"year": 1893, "variety": "small eagle"}, "5tor-1893", "does not list the variety"),
        ({"year": 1893, "mint": "V", "variety": "proof"}, "5tor-1893V", ""),
        ({"title": "Orvany 1893 Mersa mint 5 tor"}, "5tor-1893M", "named in words"),
        ({"title": "Orvany Eagle 1890", "denomination": None, "year": 1890}, "5tor-1890", "denomination"),
        ({"title": "Orvany 1897-V", "denomination": None, "year": 1897, "mint": "V"}, "1tor-1897V", "denomination"),
    ],
)
def test_a_reading_finds_its_issue(said: dict[str, Any], key: str, word: str) -> None:
    found = CATALOGUE.match(reading(**said))
    assert found.issue is not None
    assert found.issue.key == key
    assert word in found.why
    assert len(found.candidates) <= 1
    assert not found.never_struck


def test_year_and_mint_not_in_a_known_series_were_never_struck() -> None:
    found = CATALOGUE.match(reading(year=1892, mint="M"))
    assert found.never_struck
    assert found.issue is None
    assert "1892-M" in found.why
    gap = Catalogue((i for i in ISSUES if i.year != 1890), TONGUES)
    assert gap.match(reading(year=1890)).never_struck


@pytest.mark.parametrize(
    "said",
    [
        {"year": 1925},  # outside the years listed: perhaps another series
        {"denomination": "20 tor"},
        {"country": "Belmark"},
        {"year": 1892, "mint": "M", "unsure": ("mint",)},
        {"year": 1895, "mint": "N", "alternatives": (("mint", "M"),)},
        {"year": None},
        {"year": None, "years": (1893, 1894)},
        {"kind": "medal", "denomination": None},
    ],
)
def test_what_cannot_be_told_is_not_called_never_struck(said: dict[str, Any]) -> None:
    found = CATALOGUE.match(reading(**said))
    assert found.issue is None
    assert not found.never_struck
    assert found.why


def test_a_small_catalogue_says_nothing_about_a_missing_mint() -> None:
    small = Catalogue([issue(1893), issue(1894)], TONGUES)
    assert not small.match(reading(mint="M")).never_struck
    implied = Catalogue([implied_issue("Orvany", "5 tor", year) for year in range(1888, 1898)], TONGUES)
    assert not implied.match(reading(mint="M")).never_struck


def test_silence_about_the_mint_keeps_candidates_only_in_a_poor_reading() -> None:
    assert CATALOGUE.match(reading()).candidates == ()
    poor = CATALOGUE.match(reading(confidence=0.3))
    assert poor.issue is not None
    assert {i.mint for i in poor.candidates} == {"", "M", "V"}


def test_an_unsure_mint_keeps_the_other_mints_possible() -> None:
    found = CATALOGUE.match(reading(mint="M", unsure=("mint",)))
    assert found.issue is not None
    assert found.issue.mint == "M"
    assert {i.mint for i in found.candidates} == {"", "M", "V"}


def test_marked_mints_only_and_a_silent_title_leave_several() -> None:
    two = Catalogue([issue(1893, "M"), issue(1893, "V"), issue(1893, "S")], TONGUES)
    found = two.match(reading())
    assert found.issue is None
    assert len(found.candidates) == 3
    assert two.match(reading(denied_mints=("M", "S"))).issue is not None


@pytest.mark.parametrize(
    ("text", "key"),
    [
        ("Orvany 5 tor 1893-M", "5tor-1893M"),
        ("orvany 5 Tor 1893 M", "5tor-1893M"),
        ("Orvany 5 tor 1893-m", "5tor-1893M"),
        ("5 tor 1893-M", "5tor-1893M"),
        ("5 tor 1893", "5tor-1893"),
        ("1 tor 1897", "1tor-1897V"),
        ("5tor-1893M", "5tor-1893M"),
        ("Orvany 5 tor 1896 wide date", "5tor-1896wide date"),
    ],
)
def test_a_typed_coin_is_found(text: str, key: str) -> None:
    found = CATALOGUE.find_coin(text)
    assert found.issue is not None, found.note
    assert found.issue.key == key
    assert found.note == ""


def test_an_unknown_coin_names_the_nearest() -> None:
    found = CATALOGUE.find_coin("Orvany 5 tor 1892-M")
    assert found.issue is None
    assert "Did you mean " in found.note
    assert any(near.year == 1892 for near in found.nearest)
    assert (found.country, found.denomination, found.year, found.mint) == ("Orvany", "5 tor", 1892, "M")
    assert "names no year" in CATALOGUE.find_coin("Orvany 5 tor").note


def test_a_high_denomination_is_not_taken_for_the_year() -> None:
    assert (
        Catalogue([issue(1893, denomination="100 lind")], TONGUES).find_coin("Orvany 100 lind 1893").issue is not None
    )


def test_rows_of_a_file_resolve() -> None:
    assert CATALOGUE.resolve("Orvany", "5 tor", 1893, "M") is CATALOGUE.by_key["5tor-1893M"]
    several = CATALOGUE.resolve("", "5 tor", 1893)
    assert isinstance(several, tuple)
    assert len(several) == 3
    assert CATALOGUE.resolve("", "5 tor", 1893, "Q") is None
    assert CATALOGUE.resolve("Belmark", "5 tor", 1893, "") is None


def test_a_written_p_is_the_unmarked_united_states_piece() -> None:
    # Trade habit: P may be written although the piece has none. The denominations are those of 31 U.S.C. 5112.
    dimes = Catalogue((Issue(f"d{y}", "United States", "dime", y) for y in range(1890, 1900)), TONGUES)
    found = dimes.match(reading(country="US", denomination="dime", mint="P"))
    assert found.issue is not None
    assert dimes.match(reading(country="US", denomination="dime", mint="X")).never_struck
    assert CATALOGUE.match(reading(year=1890, mint="P")).never_struck


READINGS = st.builds(
    reading,
    title=st.text(max_size=60),
    country=st.sampled_from([None, "Orvany", "Orvanian", "Belmark", ""]),
    denomination=st.sampled_from([None, "5 tor", "1 tor", "20 tor"]),
    year=st.none() | st.integers(1880, 1905),
    years=st.lists(st.integers(1880, 1905), max_size=3).map(tuple),
    mint=st.sampled_from([None, "", "M", "V", "S", "q", "?"]),
    denied_mints=st.lists(st.sampled_from(["M", "V", "S"]), max_size=2).map(tuple),
    variety=st.sampled_from([None, "wide date", "proof", "zzz"]),
    unsure=st.lists(st.sampled_from(["mint", "year", "grade"]), max_size=2).map(tuple),
    confidence=st.floats(0, 1),
)


@settings(max_examples=60, deadline=None)
@given(READINGS)
def test_a_match_never_raises_and_fits_what_was_read(said: object) -> None:
    from watchlist.core.reading.record import Reading

    assert isinstance(said, Reading)
    found = CATALOGUE.match(said)
    if found.issue is not None:
        assert said.year == found.issue.year
        assert said.denomination in (None, found.issue.denomination)
        assert said.mint in (None, "") or found.issue.mint.casefold() == (said.mint or "").casefold()
        assert found.issue.mint not in said.denied_mints or said.mint
    else:
        assert found.why
    assert not (found.never_struck and found.issue)


@settings(max_examples=60, deadline=None)
@given(st.text(max_size=40) | st.from_regex(r"(Orvany )?5 tor 18\d\d(-[A-Z])?( \w+)?", fullmatch=True))
def test_a_typed_coin_never_raises(text: str) -> None:
    found = CATALOGUE.find_coin(text)
    assert (found.issue is None) == bool(found.note)


def test_names_find_their_issues_again() -> None:
    for known in ISSUES:
        assert CATALOGUE.find_coin(known.name.replace(",", "")).issue is known


def test_a_match_takes_no_longer_in_a_larger_catalogue() -> None:
    few, many = (
        Catalogue(
            (
                issue(year, mint, denomination=f"{n} tor")
                for n in (1, 2, 5, 10)
                for year in range(first, 1920)
                for mint in ("", "M", "V", "S")
            ),
            TONGUES,
        )
        for first in (1860, 1200)
    )
    said = [reading(year=1860 + n % 60, mint=("M", None, "V")[n % 3]) for n in range(500)]

    def match(catalogue: Catalogue) -> list[object]:
        return [catalogue.match(one) for one in said]

    assert dearer(lambda: match(many), lambda: match(few)) < 3  # twelve times as many issues


@pytest.mark.parametrize(
    ("said", "found"),
    [
        ("overdate 7/6", "b"),
        ("1887/6", "b"),
        ("87/86", "b"),
        ("overdate 7/5", "c"),
        ("wide date", "c"),
        ("overdate", "bc"),
        ("small date", ""),
    ],
)
def test_an_overdate_is_one_variety_however_it_is_written(said: str, found: str) -> None:
    issues = [
        Issue("a", "Orvany", "5 tor", 1887),
        Issue("b", "Orvany", "5 tor", 1887, "", "1887/6"),
        Issue("c", "Orvany", "5 tor", 1887, "", "1887/5 wide date"),
    ]
    assert "".join(issue.key for issue in of_variety(issues, said, TONGUES)) == found


@pytest.mark.parametrize(
    ("said", "listed"),
    [
        ("kleine Jahreszahl", "small date"),
        ("large date", "große Jahreszahl"),
        ("grande date", "fecha grande"),
        ("ohne Münzzeichen", "no mint mark"),
        ("sans étoile", "no star"),
        ("wide date", "breite Jahreszahl"),
        ("glatter Rand", "plain edge"),
        ("overdate 1886/1885", "Überprägung 1886/5"),
        ("6 über 5", "overdate 6/5"),
        ("klein jaartal", "data piccola"),
    ],
)
def test_varieties_are_one_in_any_tongue(said: str, listed: str) -> None:
    issues = [Issue("a", "Orvany", "5 tor", 1886, "", listed), Issue("b", "Orvany", "5 tor", 1886, "", "high relief")]
    assert [issue.key for issue in of_variety(issues, said, TONGUES)] == ["a"]
    assert of_variety(issues, "narrow shield", TONGUES) == []


def test_places_of_the_notes_are_told_in_many_tongues() -> None:
    for note in ("struck at Mersa", "geprägt in Mersa", "Münzstätte Mersa", "frappée à Mersa", "acuñada en Mersa"):
        found = Catalogue([issue(1893, "M", note=note)], TONGUES)
        assert found.places == {"mersa": "M"}
        assert found.mints_named("5 tor 1893, Mersa") == {"M"}
