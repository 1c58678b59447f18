"""Rows of a want-list."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest

from tests.core.made_imports import wants
from watchlist.core.marks.record import Want
from watchlist.core.money.amount import Money


def test_wants() -> None:
    read = wants(
        "want_id,country,denomination,year,mint,min_grade,max_grade,certified,ceiling,low,high,quantity,"
        "upgrade,priority,note\nmine,Orvany,5 tor,1899,M,VF,45,any,300,200,350,2,yes,1,for the album\n"
        ",Orvany,5 tor,1899,,40-55,,yes,300 GBP,,,,,,\n,Orvany,5 tor,1900,any,,,,100,,,,,,\n"
    )
    first, second, third = read.records
    assert first == Want(
        "mine",
        "Orvany",
        "5 tor",
        1899,
        "M",
        None,
        20,
        45,
        False,
        Money(Decimal(300), "EUR"),
        Money(Decimal(200), "EUR"),
        Money(Decimal(350), "EUR"),
        2,
        upgrade=True,
        priority=1,
        note="for the album",
    )
    assert (second.id, second.mint, second.min_grade, second.max_grade, second.certified) == ("w1", "", 40, 55, True)
    assert second.ceiling == Money(Decimal(300), "GBP")
    assert (third.id, third.mint, third.min_grade) == ("w2", None, None)


def test_ids_of_wants_that_are_taken_are_passed_over() -> None:
    text = "want_id,denomination,year,min_grade,ceiling\n,5 tor,1899,VF,3\nw2,5 tor,1899,VF,3\n,5 tor,1899,VF,3\n"
    assert [want.id for want in wants(text, taken_ids=frozenset({"w1"})).records] == ["w3", "w2", "w4"]


@pytest.mark.parametrize(
    ("row", "why"),
    [
        ("5 tor,1899,S,VF,,300", "the catalogue has this series but not 5 tor 1899-S"),
        ("5 tor,1899,M,odd,,300", "the lowest grade `odd` is not a known grade"),
        ("5 tor,1899,M,XF,VF,300", "the lowest grade `XF` is above the highest `VF`"),
        ("5 tor,1899,M,VF,,lots", "the ceiling `lots` is not a valid amount"),
        ("5 tor,1898,any,VF,,5", "the catalogue has this series but not 5 tor 1898"),
    ],
)
def test_a_want_that_cannot_be_used(row: str, why: str) -> None:
    read = wants(f"denomination,year,mint,min_grade,max_grade,ceiling\n{row}\n")
    assert read.records == ()
    assert read.set_aside[0].why.startswith(why)


def test_a_want_of_an_unknown_series_implies_its_issue() -> None:
    read = wants("country,denomination,year,min_grade,ceiling\nSundland,2 krem,1870,VF,5\n")
    assert read.records[0].country == "Sundland"
    assert read.issues[0].implied


AGAIN = "want_id,denomination,year,mint,min_grade,max_grade,certified,ceiling,low,high,quantity,upgrade,priority,note\n"
"""The list of a person who has won a piece since, and changed the rest by hand."""
KEPT = Want(
    "k7",
    "Orvany",
    "5 tor",
    1899,
    "M",
    None,
    20,
    45,
    True,
    Money(Decimal(400), "EUR"),
    Money(Decimal(200), "EUR"),
    Money(Decimal(350), "EUR"),
    2,
    1,
    True,
    3,
    "seen at the fair",
)


def test_what_the_person_did_since_stays_where_the_file_does_not_say_otherwise() -> None:
    (silent,) = wants(AGAIN + "k7,5 tor,1899,M,,,,,,,,,,\n", wants={"k7": KEPT}).records
    assert silent == replace(KEPT, country=silent.country, variety=silent.variety)
    (said,) = wants(AGAIN + "k7,5 tor,1899,M,40,,any,300,,90,1,no,1,mine\n", wants={"k7": KEPT}).records
    assert (said.min_grade, said.max_grade, said.certified) == (40, None, False)
    assert said.ceiling == Money(Decimal(300), "EUR")
    assert (said.low, said.high, said.quantity) == (None, Money(Decimal(90), "EUR"), 1)
    assert (said.upgrade, said.priority, said.note) == (False, 1, "mine")
    assert said.filled == 1, "no column of the file says how many are filled"
    text = AGAIN.replace("note", "filled") + "k7,5 tor,1899,M,40,,,,,,,,,0\n"
    assert wants(text, wants={"k7": KEPT}).records[0].filled == 0


def test_a_row_without_an_id_is_the_want_of_its_coin_and_grade() -> None:
    text = "denomination,year,mint,min_grade,ceiling\n5 tor,1899,M,20,300\n5 tor,1899,M,20,310\n5 tor,1899,M,60,900\n"
    first = wants(text).records
    assert [want.id for want in first] == ["w1", "w2", "w3"]
    bought = {want.id: replace(want, filled=1) for want in first}
    again = wants(text, wants=bought).records
    assert [(want.id, want.filled) for want in again] == [("w1", 1), ("w2", 1), ("w3", 1)]
    finer = wants(text.replace(",60,", ",63,"), wants=bought).records
    assert [want.id for want in finer] == ["w1", "w2", "w4"], "another grade may be another want"


def test_a_want_that_the_notebook_cannot_read_is_not_written_over() -> None:
    text = "want_id,denomination,year,min_grade,ceiling\nk7,5 tor,1899,VF,3\nk8,5 tor,1899,VF,3\n"
    read = wants(text, wants={"k8": replace(KEPT, id="k8")}, taken_ids=frozenset({"k7", "k8"}))
    assert [want.id for want in read.records] == ["k8"]
    assert read.set_aside[0].why.startswith(
        "the want k7 of the notebook cannot be read; correct or remove it there first"
    )
