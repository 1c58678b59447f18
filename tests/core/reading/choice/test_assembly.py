"""From candidates to one reading: what one field says of another, and what stays in doubt."""

from __future__ import annotations

import pytest

from tests.core.reading.scanned import VOCABULARY
from watchlist.core.reading.choice.assembly import begin, finish, read
from watchlist.core.reading.scanning.scan import Scan


@pytest.mark.parametrize(
    ("title", "field", "value"),
    [
        ("cent 1875 MS-64 red", "designations", ("RD",)),
        ("dime 1875 MS-64 red", "designations", ()),
        ("cent 1875 PL-64", "designations", ("PL",)),
        ("cent 1875 MS-64+", "designations", ("PLUS",)),
        ("dollar 1875 copy proof", "designations", ()),
        ("dollar 1875 cast copy", "variety", None),
        ("5 mark 1875, restruck 1964", "variety", "restrike"),
        ("1 oz silver round, dollar design", "replica", True),
        ("1 oz silver round", "kind", "other"),
        ("medal 1875", "kind", "medal"),
        ("5 mark 1875 VF details", "problems", ("details",)),
    ],
)
def test_one_field_bears_on_another(title: str, field: str, value: object) -> None:
    assert getattr(read(title, VOCABULARY), field) == value


@pytest.mark.parametrize(
    ("title", "field", "other"),
    [
        ("5 mark 1875-A?", "mint", None), ("5 mark 1875 A (probably)", "mint", None),
        ("5 mark 1875 A or B", "mint", "B"),
        ("5 mark 1875 holed?", "problems", None), ("5 mark 1875?", "year", None), ("5 mark 1875 QCG?", "service", None),
        ("5 mark 1875 XYZ MS-64", "service", "XYZ"),
        ("Valdora 5 mark 1888", "country", "Valdora"), ("5 mark 1875, Nurburg mint", "mint", "Nurburg"),
    ],
)  # fmt: skip
def test_what_the_seller_doubts_stays_open(title: str, field: str, other: str | None) -> None:
    reading = read(title, VOCABULARY)
    assert field in reading.unsure
    assert other is None or (field, other) in reading.alternatives


def test_a_doubt_lowers_the_confidence() -> None:
    assert read("5 mark 1875-A?", VOCABULARY).confidence < read("5 mark 1875-A", VOCABULARY).confidence


def test_words_that_mean_nothing_are_taken_first() -> None:
    draft = begin(Scan("QCG 5 mark 1875 cert Q123-4567", VOCABULARY.lex), VOCABULARY)
    assert (draft.holder.service, draft.certificate) == ("QCG", "Q123-4567")
    assert finish(draft, "DE", whole=False).country == "DE"
