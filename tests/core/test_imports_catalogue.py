"""Rows of a catalogue to issues."""

from __future__ import annotations

from tests.core.made_imports import catalogue
from watchlist.core.coins.issue import Issue


def test_catalogue() -> None:
    read = catalogue(
        "issue;country;denomination;year;mint;mintage;metal;weight_g;diameter_mm;copied;note\n"
        "a;Orvany;5  Tor;1899;;1.250.000;silver .835;27,2;38,5;no;\n"
        "b;Orvany;5 Tor;1899;M;1,250,000;;27.2 g;38.5 mm;ja;\n"
        "c;Orvany;5 tor;-44;;1 250 000;;;;;counterfeits known\n"
        "d;Orvany;5 tor;AD 79;-;1.2 Mio.;;;;;no counterfeits known\n"
        "e;Orvany;5 tor;1901/0;none;?;;;;counterfeits known;\n"
    )
    assert read.set_aside == ()
    a, b, c, d, e = read.records
    assert a == Issue(
        "a", "Orvany", "5 tor", 1899, mintage=1_250_000, metal="silver .835", weight_g=27.2, diameter_mm=38.5
    )
    assert (b.mint, b.mintage, b.weight_g, b.diameter_mm, b.copied) == ("M", 1_250_000, 27.2, 38.5, True)
    assert (c.year, c.mintage, c.copied) == (-44, 1_250_000, True)
    assert (d.year, d.mintage, d.copied, d.mint) == (79, 1_200_000, False, "")
    assert (e.year, e.variety, e.mintage, e.copied, e.mint) == (1901, "1901/0", None, True, "")


def test_a_catalogue_row_that_cannot_be_used_names_line_and_value() -> None:
    read = catalogue(
        "issue,country,denomination,year\na,Orvany,5 tor,unknown\nb,,5 tor,1899\n"
        "c,Orvany,,1899\nd,Orvany,5 tor,99\ne,Orvany,5 tor,1895-1899\n"
    )
    assert read.records == ()
    assert [str(one) for one in read.set_aside] == [
        "line 2: the year `unknown` is not a single year; row rejected",
        "line 3: the country is missing; row rejected",
        "line 4: the denomination is missing; row rejected",
        "line 5: the year `99` may be short for a year; write all four figures, or AD; row rejected",
        "line 6: the year `1895-1899` is not a single year; row rejected",
    ]


def test_an_issue_without_a_key_is_known_by_its_name() -> None:
    read = catalogue(
        "country,denomination,year,mint,variety,mintage\n"
        "Orvany,5 tor,1899,M,wide date,900\nOrvany,5 tor,1899,M,,12000\n"
    )
    assert [each.key for each in read.records] == ["Orvany 5 tor 1899-M, wide date", "Orvany 5 tor 1899-M"]
    assert [each.name for each in read.records] == [each.key for each in read.records]
    assert not any(each.implied for each in read.records)


def test_a_figure_of_the_specification_that_cannot_be_read_is_left_open() -> None:
    read = catalogue("issue,country,denomination,year,mintage,weight_g\na,Orvany,5 tor,1899,many,heavy\n")
    assert (read.records[0].mintage, read.records[0].weight_g) == (None, None)
    assert any("line 2: the mintage `many`" in note for note in read.notes)


def test_of_a_key_given_twice_the_last_row_counts_and_is_named() -> None:
    read = catalogue("issue,country,denomination,year\na,Orvany,5 tor,1899\na,Orvany,5 tor,1900\n")
    assert [issue.year for issue in read.records] == [1900]
    assert str(read.set_aside[0]) == "line 2: the issue a is a duplicate: line 3 is used"
