"""Grades: the 70-point scale, words of nine national scales.

Outside check: tests/data/grade_scales.csv and grades.csv are the trade's own tables (our wording), copied whole.
"""

from __future__ import annotations

import csv
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from watchlist.core.coins.grades import read_grade
from watchlist.core.coins.scale import grade_word
from watchlist.core.reading.vocabulary.gradescales import NUMBERS
from watchlist.words import load

DATA = Path(__file__).resolve().parent.parent / "data"
TABLES = load()


def rows(name: str) -> list[dict[str, str]]:
    with (DATA / name).open(encoding="utf-8") as file:
        return list(csv.DictReader(file))


SCALE_ROWS = [row for row in rows("grade_scales.csv") if row["token"] != "PROOF"]


def band(text: str, scale: str | None = None) -> tuple[int | None, int | None]:
    read = read_grade(text, scale, TABLES)
    assert read is not None, text
    return read.low, read.high


def test_thirty_numbers_are_in_use() -> None:
    assert len(NUMBERS) == 30
    assert [int(row["number"]) for row in rows("grades.csv")] == list(NUMBERS)


@pytest.mark.parametrize(
    "row",
    SCALE_ROWS,
    ids=lambda r: f"{r['scale']} {r['token']}",
)
def test_each_token_has_the_band_of_the_table(row: dict[str, str]) -> None:
    assert band(row["token"], row["scale"]) == (int(row["low_number"]), int(row["high_number"]))


@pytest.mark.parametrize(
    ("text", "low", "high"),
    [
        ("VF-30", 30, 30), ("vf30", 30, 30), ("VF 30", 30, 30), ("MS65", 65, 65), ("PR-69 DCAM", 69, 69),
        ("40", 40, 40),
        ("40-45", 40, 45), ("MS63-64", 63, 64), ("Fair-2", 2, 2), ("FR02", 2, 2), ("AU/BU", 58, 60), ("VF-XF", 35, 40),
        ("TB+/TTB", 30, 35), ("VF/GF", 15, 30), ("1+/01", 35, 58), ("kv. 01", 50, 58), ("MBC/BELA", 40, 45),
        ("Choice VF", 30, 35), ("about VF", 15, 20), ("fast vorzüglich", 40, 45), ("presque SUP", 45, 50),
        ("sehr schön", 20, 40), ("vorzueglich bis Stempelglanz", 58, 63), ("MS-65 or better", 65, 65), ("ss+", 35, 40),
        ("XF+", 45, 45), ("XF+?", 40, 45), ("BU++", 60, 63), ("VF-", 20, 25), ("gut sehr schön", 35, 40),
    ],
)  # fmt: skip
def test_words_and_numbers(text: str, low: int, high: int) -> None:
    assert band(text) == (low, high)


def test_what_stands_beside_the_number_is_told() -> None:
    details = read_grade("AU Details", None, TABLES)
    assert details is not None
    assert details.details
    plus = read_grade("MS66+", None, TABLES)
    assert plus is not None
    assert plus.plus
    proof = read_grade("Proof-65", None, TABLES)
    assert proof is not None
    assert proof.proof


def test_the_country_decides_between_british_and_american_words() -> None:
    assert band("EF", "GB") == (40, 50)
    assert band("EF", "US") == (40, 45)
    assert band("SPL", "IT") == (50, 58)
    assert band("SPL", "FR") == (60, 63)


@pytest.mark.parametrize("text", ["", "xyz", "S", "1889", "very nice", "--", "70000"])
def test_no_grade_is_none(text: str) -> None:
    assert read_grade(text, None, TABLES) is None


@pytest.mark.parametrize("number", NUMBERS)
def test_a_grade_word_reads_back(number: int) -> None:
    assert band(grade_word(number)) == (number, number)


def test_grade_words_of_the_trade() -> None:
    assert [grade_word(n) for n in (1, 4, 8, 12, 30, 40, 58, 65)] == [
        "PO-1",
        "G-4",
        "VG-8",
        "F-12",
        "VF-30",
        "XF-40",
        "AU-58",
        "MS-65",
    ]


@given(st.text(max_size=30), st.sampled_from([None, "us", "uk", "de", "XX"]))
@settings(max_examples=60, deadline=None)
def test_any_cell_gives_a_band_in_order_or_none(text: str, scale: Any) -> None:
    read = read_grade(text, scale, TABLES)
    if read is not None and read.low is not None and read.high is not None:
        assert 1 <= read.low <= read.high <= 70
