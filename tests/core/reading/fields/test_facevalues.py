"""Numbers and units: what is a denomination, and what is a price, a grade or a date."""

from __future__ import annotations

import pytest

from tests.core.reading.scanned import scan
from watchlist.core.reading.fields.facevalues import find_values, is_grade_figure


def values(title: str) -> list[tuple[float | None, str]]:
    return [(value.number, value.unit or value.coin) for value in find_values(scan(title))]


@pytest.mark.parametrize(
    ("title", "found"),
    [
        ("5 marks", [(5, "mark")]),
        ("five marks", [(5, "mark")]),
        ("2 1/2 gulden", [(2.5, "gulden")]),
        ("2½ gulden", [(2.5, "gulden")]),
        ("1/4 gulden", [(0.25, "gulden")]),
        ("1.000 reis", [(1000, "reis")]),
        ("1889 gulden", [(None, "gulden")]),
        ("1900 gulden", [(1900, "gulden")]),
        ("MS65 gulden", [(None, "gulden")]),
        ("Lire 20", [(20, "lira")]),
        ("Lire 21", [(None, "lira")]),
        ("Doppelgulden", [(2, "gulden")]),
        ("Halbgulden", [(0.5, "gulden")]),
        ("Dreikönigstaler", [(None, "taler")]),
        ("10c", [(10, "cent")]),
        ("1889 c", []),
        ("20 F", []),
        ("20F", [(20, "franc")]),
        ("Sol 1793", [(None, "sol")]),
        ("Sol", []),
        ("$2.50", [(2.5, "dollar")]),
        ("5/-", [(5, "shilling")]),
        ("20$00", [(20, "escudo")]),
        ("2$000", [(2000, "reis")]),
        ("1c size", []),
        ("price 5 marks", []),
        ("peace", [(None, "dollar")]),
    ],
)
def test_values(title: str, found: list[tuple[float | None, str]]) -> None:
    assert values(title) == found


def test_an_amount_beside_a_value_of_another_unit_is_the_price() -> None:
    score = {value.unit: value.score for value in find_values(scan("5 marks 1889 85 euro"))}
    assert score["mark"] > 0.7 > score["euro"]
    assert find_values(scan("2 euro 2005"))[0].score > 0.7


@pytest.mark.parametrize(
    ("title", "at", "graded"),
    [("MS 65", 1, True), ("VF20", 1, True), ("VF 20", 1, False), ("VF-20", 2, True), ("VF71", 1, False)],
)
def test_the_number_of_a_grade(title: str, at: int, graded: bool) -> None:
    assert is_grade_figure(scan(title), at) == graded
