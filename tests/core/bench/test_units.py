"""Measurements as people type them. Factors: international yard and pound agreement of 1959."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from watchlist.core.bench.units import NotMeasured, degrees, length, weight


@pytest.mark.parametrize(
    ("text", "grams"),
    [
        ("24.1", 24.1), ("24,1", 24.1), ("24,1 g", 24.1), ("24.1g", 24.1),
        ("412.5 gr", 26.72955), ("412.5 grains", 26.72955),
        ("1 ozt", 31.1034768), ("1 oz av", 28.349523), ("10 dwt", 15.5517384), ("24100 mg", 24.1),
        ("17.2 pennyweight", 26.74899),
        ("24.1 24.2 24.3", 24.2), ("24,1; 24,2; 24,3 g", 24.2), ("24.1 and 24.3", 24.2),
    ],
)  # fmt: skip
def test_weights(text: str, grams: float) -> None:
    assert weight(text).value == pytest.approx(grams, rel=1e-6)


@pytest.mark.parametrize(
    ("text", "mm"), [("37.8", 37.8), ("37,8 mm", 37.8), ("3.78 cm", 37.8), ("1.5 in", 38.1), ('1.5"', 38.1)]
)
def test_lengths(text: str, mm: float) -> None:
    assert length(text, "diameter").value == pytest.approx(mm)


def test_several_readings_give_mean_and_spread_and_say_so() -> None:
    found = weight("24.1 24.2 24.4")
    assert found.readings == 3
    assert found.spread == pytest.approx(0.3)
    assert "mean of 3 readings, 24.1 to 24.4 g" in found.note


@pytest.mark.parametrize(
    ("text", "word"),
    [
        ("", "not a measurement"), ("heavy", "not a measurement"), ("0", "not above zero"), ("-3", "not above zero"),
        ("1 oz", "troy or avoirdupois"), ("37 mm", "another field"),
        ("24.1 stone", "not in `stone`"), ("24.1 g 3 mm", "not a measurement"),
    ],
)  # fmt: skip
def test_words_that_are_no_weight(text: str, word: str) -> None:
    with pytest.raises(NotMeasured, match=word):
        weight(text)


def test_grams_in_a_field_of_millimetres_are_asked_about() -> None:
    with pytest.raises(NotMeasured, match="another field"):
        length("25.0 g", "diameter")


@pytest.mark.parametrize(("text", "celsius"), [("20", 20), ("20.5 C", 20.5), ("20,5°C", 20.5), ("68 F", 20)])
def test_water(text: str, celsius: float) -> None:
    assert degrees(text) == pytest.approx(celsius)


@given(st.text(max_size=30))
def test_any_text_is_a_weight_or_one_sentence(text: str) -> None:
    try:
        assert weight(text).value > 0
    except NotMeasured:
        return
