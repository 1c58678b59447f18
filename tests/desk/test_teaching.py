"""Words that a person teaches, and fields that a person mends, hold."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.screens import pieces
from tests.screens.pieces import NOW
from watchlist.core.reading.record import Reading
from watchlist.desk import correcting
from watchlist.desk.desk import Desk
from watchlist.desk.errors import DeskError
from watchlist.desk.mending import mended
from watchlist.shelf.shelf import Shelf


@pytest.fixture
def desk(tmp_path: Path) -> Iterator[Desk]:
    with Shelf.open(pieces.shelf(tmp_path / "shelf"), write=True, today=NOW.date) as shelf:
        yield Desk(shelf, NOW)


@pytest.mark.parametrize(
    ("words", "value", "band"), [("vz", "50", (50, 50)), ("f.st", "MS-62-63", (62, 63)), ("schnieke", "XF", (40, 45))]
)
def test_a_taught_grade_is_kept_as_a_band_and_read_so(
    desk: Desk, words: str, value: str, band: tuple[int, int]
) -> None:
    correcting.teach(desk, words, "grade", value)
    reading = desk.reader.read(f"Orvany 5 tor 1893, {words}")
    assert (reading.grade_low, reading.grade_high) == band
    assert correcting.listed(desk)[0]["value"] == "-".join(map(str, dict.fromkeys(band)))


@pytest.mark.parametrize(("field", "value"), [("grade", "none"), ("service", "Old Bridge Grading")])
def test_what_would_have_no_effect_is_refused(desk: Desk, field: str, value: str) -> None:
    with pytest.raises(DeskError, match="Nothing was changed"):
        correcting.teach(desk, value if field == "service" else "schnieke", field, value)
    assert not correcting.listed(desk)


def test_a_field_set_by_the_person_has_no_other_reading() -> None:
    reading = Reading("Norrland 5 tor", unsure=("country", "grade"), alternatives=(("country", "Norrland"),))
    made = mended(reading, "country", "Orvany", {})
    assert (made.country, made.unsure, made.alternatives) == ("Orvany", ("grade",), ())
