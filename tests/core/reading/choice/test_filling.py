"""What a title leaves open, filled from columns and a description."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.core.reading.scanned import VOCABULARY
from watchlist.core.reading.choice.assembly import read
from watchlist.core.reading.choice.filling import fill, talk
from watchlist.core.reading.choice.gradecells import graded, in_coinage
from watchlist.core.reading.record import Reading


def filled(title: str, description: str = "", **fields: str) -> Reading:
    return fill(read(title, VOCABULARY), talk(description, fields, VOCABULARY), fields, VOCABULARY)


@pytest.mark.parametrize(
    ("column", "text", "field", "value"),
    [
        ("country", "Germany", "country", "DE"), ("denomination", "10c", "denomination", "dime"),
        ("year", "1875-B", "year", 1875), ("mint", "B", "mint", "B"), ("mint", "Carson City", "mint", None),
        ("grade", "VF-30", "grade_low", 30), ("variety", "no dot", "variety", "no dot"),
        ("cert_number", "1234567", "cert_number", "1234567"), ("service", "qcg", "service", "QCG"),
        ("certified", "QCG", "certified", True), ("service", "none", "certified", False),
        ("problem", "holed, copy", "problems", ("holed",)), ("problem", "copy", "replica", True),
    ],
)  # fmt: skip
def test_a_column_fills_what_is_open(column: str, text: str, field: str, value: object) -> None:
    assert getattr(filled("", **{column: text}), field) == value


@pytest.mark.parametrize(
    ("column", "text"),
    [("country", "France"), ("denomination", "2 mark"), ("year", "1899"), ("mint", "C"), ("grade", "MS-65"),
     ("service", "HNS"), ("cert_number", "999999999")],
)  # fmt: skip
def test_a_column_changes_nothing_that_the_title_says(column: str, text: str) -> None:
    title = read("Germany 5 mark 1875-B VF-30 QCG 1234567", VOCABULARY)
    assert fill(title, (), {column: text}, VOCABULARY) == title


def test_a_mint_that_is_denied_or_doubted() -> None:
    title = replace(read("5 mark 1875", VOCABULARY), unsure=("mint", "year"), alternatives=(("mint", "Nurburg"),))
    settled = fill(title, (), {"mint": "A"}, VOCABULARY)
    assert (settled.mint, settled.unsure, settled.alternatives) == ("A", ("year",), ())
    assert fill(replace(title, denied_mints=("A",)), (), {"mint": "A"}, VOCABULARY).mint is None


def test_a_description_fills_but_its_grade_is_not_sure() -> None:
    reading = filled("5 mark 1875", "VF-30, mint mark A. Holed.")
    assert (reading.grade_low, reading.mint, reading.problems) == (30, "A", ("holed",))
    assert "grade" in reading.unsure


def test_a_description_of_another_date_gives_no_mint() -> None:
    assert filled("5 mark 1875", "like the 1876-A").mint is None


def test_what_a_description_says_the_piece_is() -> None:
    note = filled("5 mark 1875", "Banknote, folded twice")
    assert (note.kind, note.denomination) == ("other", None)
    assert filled("5 mark 1875", "An official restrike of 1964.").variety == "restrike"
    assert filled("5 mark 1875 large date", "An official restrike.").variety == "large date, restrike"
    assert filled("5 mark 1875", "Restrikes exist.").variety is None


def test_a_cell_of_grades_is_read_in_its_coinage() -> None:
    lot = Reading("", denomination="5 mark")
    assert in_coinage(VOCABULARY, lot, "MS-63").grade_low == 63
    german, alone = in_coinage(VOCABULARY, lot, "s"), in_coinage(VOCABULARY, Reading(""), "s")
    assert german == in_coinage(VOCABULARY, lot, "s")
    assert german.grade_low is not None
    assert alone.grade_low in (None, german.grade_low)
    assert graded(lambda title: read(title, VOCABULARY), "DE", None, "ss") is None
    assert graded(lambda title: read(title, VOCABULARY), "DE", "5 mark", "what") is None
    state = graded(lambda title: read(title, VOCABULARY), None, "5 zlotych", "II")
    assert state
    assert state.grade_low is not None
