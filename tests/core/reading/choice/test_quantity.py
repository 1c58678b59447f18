"""How many pieces a lot holds."""

from __future__ import annotations

import pytest

from watchlist.core.reading.choice.draft import Draft
from watchlist.core.reading.choice.quantity import count_before_country, quantity_of
from watchlist.core.reading.fields.dates import find_dates
from watchlist.core.reading.fields.facevalues import find_values
from watchlist.core.reading.fields.grouplots import Many
from watchlist.core.reading.scanning.scan import Scan
from watchlist.core.reading.vocabulary.catalogued import Catalogued
from watchlist.core.reading.vocabulary.vocabulary import Vocabulary
from watchlist.words import load

KNOWN = Vocabulary(
    load(), catalogued=Catalogued(denominations=["20 tor", "tor", "7 lind", "skant"], countries=["Orvany"])
)


def draft(title: str, many: Many | None = None) -> Draft:
    scanned = Scan(title, KNOWN.lex)
    dates = find_dates(scanned, "Orvany")
    return Draft(scanned, KNOWN, many=many or Many(), dates=dates, country="Orvany", values=find_values(scanned))


@pytest.mark.parametrize(
    ("title", "quantity", "number", "unsure"),
    [
        ("3 Orvanian 2 tor 1877", 3, 2, False),
        ("20 Orvanian tor 1880", None, 20, True),  # the catalogue has both
        ("7 Orvanian lind", None, 7, False),
        ("6 Orvanian skant", 6, None, False),
        ("two old Orvanian silver skant", 2, None, False),
        ("nice 3 Orvanian 2 tor", None, 2, False),  # not at the head
        ("3 Orvanian pieces", None, None, False),
        ("1 Orvanian tor", None, None, False),
    ],
)
def test_a_number_before_the_country(title: str, quantity: int | None, number: float | None, unsure: bool) -> None:
    made = draft(title)
    count_before_country(made)
    values = [value.number for value in made.values]
    assert (made.many.quantity, "denomination" in made.unsure) == (quantity, unsure)
    assert number is None or number in values


def test_pieces_are_counted_by_face_value_or_by_years() -> None:
    assert quantity_of(draft("dimes", Many(multiple=True, face=10)), "dime", ()) == 100
    assert quantity_of(draft("tor", Many(multiple=True, face=10)), "tor", ()) is None
    assert quantity_of(draft("tor 1889 1890", Many(multiple=True)), "tor", (1889, 1890)) == 2
    assert quantity_of(draft("tor 1889-1891", Many(multiple=True)), "tor", (1889, 1890, 1891)) is None
    assert quantity_of(draft("tor", Many(quantity=4, face=10)), "tor", ()) == 4
