"""Whole entries on the road of a lot: two sets by the same hand, the second written after the first had been mended."""

from __future__ import annotations

import pytest

from tests.score_entries import DEFAULT, score
from watchlist.core.reading.reader import Reader
from watchlist.core.reading.vocabulary.vocabulary import Vocabulary
from watchlist.words import load

LEAST = {"entries_faults.jsonl": 162, "entries_second.jsonl": 78}
"""Entries that are wholly right, of 164 and 81."""


@pytest.mark.parametrize("name", LEAST)
def test_entries_stay_wholly_right(name: str) -> None:
    assert score(DEFAULT.parent / name).whole.total() >= LEAST[name]


READER = Reader(Vocabulary(load(), ["QCG", "HNS"]))
SLABBED = {
    ("Gem BU tor 1893", "In QCG holder, graded 61."): (61, "QCG"),
    ("Tor 1893 QCG 63", ""): (63, "QCG"),
    ("Tor 1893 QCG62", ""): (62, "QCG"),
    ("Tor 1893 VF", "Formerly in a QCG 45 slab, now loose."): (20, None),
    ("Tor 1893 vz", "Aus dem HNS-Holder befreit."): (45, None),
    ("Tor 1893 SUP", "Sortie de sa coque QCG."): (50, None),
    ("Tor 1893 MS64", "As good as the QCG 66 I sold last month."): (64, None),
}


def test_a_service_s_number_counts_while_it_holds_the_piece() -> None:
    read = {texts: READER.read(*texts) for texts in SLABBED}
    assert {texts: (reading.grade_low, reading.service) for texts, reading in read.items()} == SLABBED


CELLS = {
    "QCG MS65 / Q450-3312": (65, "QCG", "Q450-3312", ()),
    "HNS 88.120.44H - cleaned": (None, "HNS", "88.120.44H", ("cleaned",)),
    "#Q402-1188": (None, None, "Q402-1188", ()),
    "none": (None, None, None, ()),
}


def test_a_cell_of_certificates() -> None:
    made = {cell: READER.read("Tor 1893", "", {"cert_number": cell}) for cell in CELLS}
    assert {cell: (r.grade_low, r.service, r.cert_number, r.problems) for cell, r in made.items()} == CELLS


def test_the_language_of_a_description_says_which_scale_a_title_means() -> None:
    french, italian = "Monnaie dans son état d'origine", "Moneta dello stato, molto bella per il tipo"
    assert READER.read("Tor 1893 SPL", french).grade_low == 60
    assert READER.read("Tor 1893 SPL", italian).grade_low == 50


def test_remarks_beside_a_description_are_read() -> None:
    reading = READER.read("Tor 1893 VF", "Nice.", {"remark": "obv. scr., sl. bent"})
    assert set(reading.problems) == {"scratched", "bent"}
