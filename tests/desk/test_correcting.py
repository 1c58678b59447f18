"""Words that a person teaches, and fields that a person mends, hold."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.desk.pieces import TITLE, come, lot, row
from watchlist.core.reading.record import Reading
from watchlist.desk.decisions import correcting
from watchlist.desk.decisions.deciding import decide
from watchlist.desk.desk import Desk
from watchlist.desk.due import TITLES
from watchlist.desk.errors import DeskError
from watchlist.desk.held.parcels import parcels
from watchlist.desk.reader import taught
from watchlist.desk.settling import settle
from watchlist.desk.titles.mending import mended
from watchlist.desk.titles.rereading import read_lot
from watchlist.desk.typed.lots_by_hand import add_lot
from watchlist.desk.undoing import undo


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


@pytest.mark.parametrize(
    ("words", "field", "value", "said"),
    [
        ("schnieke", "grade", "none", "A grade word needs a grade"),
        ("Brannental Grading", "service", "OBG", "taught by one word of letters"),
        ("schnieke", "colour", "red", "No word can be taught for `colour`"),
        ("...", "grade", "40", "Name the words to teach"),
        ("schnieke", "replica", "perhaps", "yes or no"),
    ],
)
def test_what_would_have_no_effect_is_refused(desk: Desk, words: str, field: str, value: str, said: str) -> None:
    with pytest.raises(DeskError, match="Nothing was changed") as error:
        correcting.teach(desk, words, field, value)
    assert said in str(error.value)
    assert not correcting.listed(desk)
    assert not desk.owed.all()


def test_a_word_is_taught_for_one_source_and_dropped(desk: Desk) -> None:
    come(desk, row("1", "Orvany 5 tor 1893-V schnieke"))
    id = correcting.teach(desk, "schnieke", "grade", "40", "NORTH")
    assert [each.source for each in taught(desk.corrections)] == ["north"]
    assert desk.owed.all() == TITLES
    settle(desk, TITLES)
    assert lot(desk, "north:1").reading.grade_low == 40
    correcting.drop(desk, id)
    settle(desk, TITLES)
    assert lot(desk, "north:1").reading.grade_low is None
    with pytest.raises(DeskError, match="There is no correction `c9`"):
        correcting.drop(desk, "c9")
    with pytest.raises(DeskError, match="There is no source `south`"):
        correcting.teach(desk, "schnieke", "grade", "40", "south")


def test_words_that_mean_nothing_are_taught(desk: Desk) -> None:
    correcting.teach(desk, "1889", "nothing", "yes")
    assert desk.reader.read("Orvany 5 tor 1893-V 1889").year == 1893


def test_a_lot_that_is_mended_stays_so_when_it_is_read_again(desk: Desk) -> None:
    come(desk, row("1"))
    made = correcting.mend(desk, "1", {"year": "1889"})
    assert made == lot(desk, "north:1")
    assert made.judgement is not None
    assert made.judgement.wants == ()
    assert read_lot(desk, made.lot).year == 1889
    come(desk, row("1", price="210"))
    assert lot(desk, "north:1").reading.year == 1889
    with pytest.raises(DeskError, match="`colour` is not a field"):
        correcting.mend(desk, "1", {"colour": "red"})
    assert not desk.owed.all()


def test_the_sale_of_lots_is_named_by_hand_stays_and_is_undone(desk: Desk) -> None:
    """The feed names no sale: lots of two days are of one once the person says so."""
    terms = desk.terms["Lindmoor Sales"]
    desk.shelf.notebook.venues.put(replace(terms, ships_together="sale"))
    desk.forget()
    come(desk, row("1"), row("2", hours=72))
    for key in ("1", "2"):
        decide(desk, [f"north:{key}"], "bid", "10", anyway=True)
    assert [each.sale for each in parcels(desk)] == ["2026-11-27", "2026-11-28"]
    said = correcting.mend_all(desk, ["1", "2"], {"sale": f" Sale{chr(7)} 41 "})
    assert said == "correction of 2 lots: sale is Sale 41"
    come(desk, row("1", price="210"), row("2", hours=72))
    assert [(each.sale, len(each.lots)) for each in parcels(desk)] == [("Sale 41", 2)]
    assert undo(desk).said.startswith("Undone: correction of 2 lots: sale is Sale 41")
    assert [each.sale for each in parcels(desk)] == ["2026-11-27", "2026-11-28"]
    assert add_lot(desk, {"title": TITLE, "venue": "Lindmoor Sales", "sale": "Fair 7"}).lot.sale == "Fair 7"


def test_a_correction_and_its_undo_name_the_coin(desk: Desk) -> None:
    come(desk, row("LM-1", TITLE))
    said = correcting.mend_all(desk, ["LM-1"], {"grade": "40"})
    assert said == "correction of LM-1 (5 tor 1893-V, VF-30): grade is 40"
    assert undo(desk).said.startswith(f"Undone: {said}, said Wed 25 Nov")


def test_a_correction_that_was_kept_before_its_word_was_refused_is_passed_over(desk: Desk) -> None:
    come(desk, row("1"))
    kept = {"id": "c1", "kind": "lot", "lot": "north:1", "field": "year", "value": "old"}
    desk.shelf.notebook.corrections.put(kept)
    desk.forget()
    assert read_lot(desk, lot(desk, "north:1").lot).year == 1893


def test_a_field_set_by_the_person_has_no_other_reading() -> None:
    reading = Reading("Norrland 5 tor", unsure=("country", "grade"), alternatives=(("country", "Norrland"),))
    made = mended(reading, "country", "Orvany", {})
    assert (made.country, made.unsure, made.alternatives) == ("Orvany", ("grade",), ())
