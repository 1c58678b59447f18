"""Single words as they are typed: what they mean, and how any other is refused."""

from __future__ import annotations

from contextlib import suppress

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from watchlist.core.typed.words import TypedError, grade_range, is_yes, one_of, wanted_range, whole
from watchlist.words import load

TABLES = load()


@pytest.mark.parametrize(
    ("text", "meant"),
    [("40-55", (40, 55)), (" 40 - 55 ", (40, 55)), ("40", (40, None)), ("VF-30", (30, None)), ("VF", (20, 35))],
)
def test_a_range_of_grades(text: str, meant: tuple[int, int | None]) -> None:
    assert grade_range(text, TABLES) == meant


@pytest.mark.parametrize(
    ("text", "meant"),
    [("40-55", (40, 55)), ("VF-30", (30, None)), ("VF", (20, 35)), ("VF-XF", (20, 45)), ("VF to XF", (20, 45)),
     ("VF-30 - XF", (30, 45)), ("VF-20 to XF-40", (20, 40))],
)  # fmt: skip
def test_a_want_takes_all_from_one_grade_to_the_other(text: str, meant: tuple[int, int | None]) -> None:
    assert wanted_range(text, TABLES) == meant


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("55-40", "`55-40` is not a valid range of the 70-point scale"),
        ("0", "`0` is not a valid range of the 70-point scale"),
        ("71", "`71` is not a valid range of the 70-point scale"),
        ("9" * 5000, f"`{'9' * 5000}` is not a valid grade: write 40-55, VF-30 or VF"),
        ("fine-ish", "`fine-ish` is not a valid grade: write 40-55, VF-30 or VF"),
        ("-5", "`-5` is not a valid grade: write 40-55, VF-30 or VF"),
    ],
)
def test_what_is_no_range_of_grades(text: str, why: str) -> None:
    with pytest.raises(TypedError) as refused:
        grade_range(text, TABLES)
    assert str(refused.value) == why


def test_a_yes_and_a_no_and_what_is_neither() -> None:
    assert [is_yes("upgrade", text) for text in ("yes", " Y ", "TRUE", "1", "no", "", "0")] == [True] * 4 + [False] * 3
    assert not is_yes("certified", "any", or_any=True)
    with pytest.raises(TypedError, match=r"^Upgrade is yes or no, not `any`$"):
        is_yes("upgrade", "any")
    with pytest.raises(TypedError, match=r"^Certified is yes, no or any, not `maybe`$"):
        is_yes("certified", "maybe", or_any=True)


def test_one_of_a_few() -> None:
    assert (one_of("kind", " CSV ", ("rss", "csv")), one_of("kind", "", ("rss", "csv"))) == ("csv", "")
    with pytest.raises(TypedError, match=r"^Kind is rss, json or csv, not `xls`$"):
        one_of("kind", "xls", ("rss", "json", "csv"))


@pytest.mark.parametrize("text", ["two", "1.5", "", "9" * 10, "\u0661"])
def test_what_is_no_whole_number(text: str) -> None:
    with pytest.raises(TypedError) as refused:
        whole("quantity", text)
    assert str(refused.value) == f"Quantity is a whole number, not `{text}`"


@example("0\x1f")
@given(st.text(max_size=12))
def test_any_words_are_understood_or_refused(text: str) -> None:
    for read in (lambda: grade_range(text, TABLES), lambda: whole("filled", text), lambda: is_yes("upgrade", text)):
        with suppress(TypedError):
            read()


def test_a_sentence_may_be_a_part_of_another() -> None:
    assert TypedError("A want needs a coin").clause == "a want needs a coin"
