"""Which mint a piece is of, where letters may be more than one thing."""

from __future__ import annotations

from watchlist.core.reading.choice.draft import Draft
from watchlist.core.reading.choice.mint import choose_mint, mint_again, mint_of, no_mint_of_it
from watchlist.core.reading.fields.dates import find_dates
from watchlist.core.reading.fields.facevalues import find_values
from watchlist.core.reading.scanning.scan import Scan
from watchlist.core.reading.vocabulary.catalogued import Catalogued
from watchlist.core.reading.vocabulary.gradegrammar import Grade
from watchlist.core.reading.vocabulary.vocabulary import Vocabulary
from watchlist.words import load

KNOWN = Vocabulary(
    load(),
    catalogued=Catalogued(
        denominations=["5 tor"], countries=["Orvany"], mints=["M", "F"], places={"velden": "V", "karsk": ""},
        struck={("5 tor", 1889): frozenset(("", "M"))},
    ),
)  # fmt: skip


def draft(title: str, country: str | None = "Orvany", sure: float = 0.95) -> Draft:
    scanned = Scan(title, KNOWN.lex)
    made = Draft(scanned, KNOWN, country=country, country_sure=sure, dates=find_dates(scanned, country))
    made.values = find_values(scanned)
    made.year = made.dates.found[0].year if len(made.dates.found) == 1 else None
    choose_mint(made)
    return made


def test_a_mark_goes_before_a_name_and_the_main_mint_has_no_mark() -> None:
    assert draft("5 tor 1889-M Velden").mint.mint == "M"
    assert draft("5 tor 1889 Velden").mint.mint == "V"
    assert draft("5 tor 1889 Karsk").mint.mint is None
    assert draft("medal 1889 Velden").mint.mint is None


def test_a_branch_mint_tells_the_country() -> None:
    made = draft("sovereign 1889-M", None, 0.0)
    assert made.country == KNOWN.lex.mint_country["sovereign"]["M"]


def test_a_letter_that_the_catalogue_does_not_list_may_be_the_grade() -> None:
    made = draft("5 tor 1889 F")
    letter = no_mint_of_it(made)
    assert letter
    assert (letter.mint, made.mint.mint, made.scan.free(letter.start, letter.end)) == ("F", None, True)
    made.grade = Grade(12, 15, letter.start, letter.end, "us", "f")
    mint_again(made, letter)
    assert made.mint.mint is None
    made.grade = None
    mint_again(made, letter)
    assert made.mint is letter
    assert not made.scan.free(letter.start, letter.end)


def test_a_mint_that_is_listed_or_tied_to_the_year_stays() -> None:
    for title in ("5 tor 1889 M", "5 tor 1889-F", "5 tor 1890 F", "1889 F"):
        made = draft(title)
        assert no_mint_of_it(made) is None
        assert made.mint.mint in ("M", "F")


def test_a_letter_of_a_variety_is_no_mint_again() -> None:
    made = draft("5 tor 1889 F below bust")
    assert no_mint_of_it(made) is None
    assert made.mint.mint is None


def test_several_years_have_only_a_mark_that_they_share() -> None:
    assert mint_of(draft("5 tor 1889-M 1890-M"), (1889, 1890)) == "M"
    assert mint_of(draft("5 tor 1889-M 1890-F"), (1889, 1890)) is None
    assert mint_of(draft("5 tor 1889-1891 M"), (1889, 1890, 1891)) is None
    assert mint_of(draft("5 tor 1889-M"), ()) == "M"
