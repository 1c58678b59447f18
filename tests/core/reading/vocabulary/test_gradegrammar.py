"""Grade phrases over tokens alone: bands, numbers, sides, words that move a grade."""

from __future__ import annotations

import pytest

from watchlist.core.reading.vocabulary.gradegrammar import GradeGrammar
from watchlist.core.reading.vocabulary.gradescales import OWN, Scales
from watchlist.core.reading.vocabulary.tokens import tokens
from watchlist.words import load

GRAMMAR = GradeGrammar(Scales(load("grades")))


def band(text: str, *order: str, many: bool = False, ancient: bool = False) -> tuple[int, int] | None:
    found = GRAMMAR.at(tokens(text), 0, order, many, ancient)
    return (found.low, found.high) if found else None


@pytest.mark.parametrize(
    ("text", "numbers"),
    [
        ("MS-65", (65, 65)), ("vf30", (30, 30)), ("MS63-64", (63, 64)), ("MS 63 / 64", (63, 63)), ("VF20-64", (20, 20)),
        ("P 1", (1, 1)), ("P 4", None), ("MS 71", (60, 63)), ("VF", (20, 35)), ("S", None),
        ("F 15%", (12, 15)), ("s", (4, 15)), ("PR-65", (65, 65)),
    ],
)  # fmt: skip
def test_numbers_of_the_scale(text: str, numbers: tuple[int, int] | None) -> None:
    assert band(text) == numbers


def test_words_that_move_a_grade() -> None:
    near, plain, upper = band("about VF"), band("VF"), band("choice VF")
    assert near
    assert plain
    assert upper
    assert near[1] == plain[0]
    assert upper[1] == plain[1]
    assert upper[0] > plain[0]
    assert band("about MS-63") == (63, 63)  # a number is not moved


def test_two_sides_widen_a_grade_or_name_the_step_between() -> None:
    assert band("VF-XF", "us") == (35, 40)
    assert band("VF/XF", "us", ancient=True) == band("VF-XF", "us", many=True) == (20, 45)
    assert band("VF/XF", "us") == (35, 40)
    assert band("ss-vz", "de") == GRAMMAR.scales.bands["de", "ss-vz"]
    one_scale = GRAMMAR.at(tokens("VF/GF"), 0, ["us"])
    assert one_scale
    assert one_scale.scale == "uk"


@pytest.mark.parametrize(
    ("text", "end"),
    [
        ("VF details, cleaned", 2), ("VF - details", 3), ("VF or better", 3), ("VF ?", 2), ("VF F nice", 1),
        ("VF - G as is", 1), ("VF and S", 1), ("VF++", 3), ("VF+", 2), ("VF -1889", 1),
    ],
)  # fmt: skip
def test_what_belongs_to_the_words_of_a_grade(text: str, end: int) -> None:
    found = GRAMMAR.at(tokens(text), 0, ["us"])
    assert found
    assert found.end == end


def test_figures_count_only_where_they_are_asked_for() -> None:
    assert band("1+/01") is None
    two = GRAMMAR.figure_at(tokens("1+/01"), 0)
    one = GRAMMAR.figure_at(tokens("II+"), 0, "pl")
    assert two
    assert one
    assert (two.scale, two.end, one.scale, one.end) == ("scand", 4, "pl", 2)
    assert GRAMMAR.figure_at(tokens("77"), 0) is None


def test_a_word_may_be_of_two_scales_and_a_taught_one_goes_before_all() -> None:
    grammar = GradeGrammar(Scales({"scale": {"de": {"gut": [4, 6]}, "nl": {"gut": [12, 15]}}}))
    either = grammar.at(tokens("gut"), 0)
    settled = grammar.at(tokens("gut"), 0, ["nl"])
    assert either
    assert settled
    assert (either.low, either.other) == (4, (12, 15))
    assert (settled.low, settled.other) == (12, None)
    grammar.scales.teach("gut", (40, 45))
    taught = grammar.at(tokens("gut"), 0, ["nl"])
    assert taught
    assert (taught.scale, taught.low, taught.bare) == (OWN, 40, False)
    grammar.scales.forget("gut")
    assert grammar.at(tokens("gut"), 0) is None
