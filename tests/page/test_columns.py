"""Widths in cells: Unicode Standard Annex 11 by the unicodedata of the running Python."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from watchlist.page.columns import cells, cut, fitting, pad, shortened, table, wrap

texts = st.text(alphabet=st.characters(blacklist_categories=("Cs", "Cc")), max_size=80)


@given(texts, st.integers(0, 60))
def test_a_cut_text_fits(text: str, width: int) -> None:
    assert cells(cut(text, width)) <= width


@given(texts, st.integers(0, 60))
def test_a_shortened_text_fits(text: str, width: int) -> None:
    assert cells(shortened(text, width)) <= width


def test_a_sentence_is_never_cut_inside_an_amount() -> None:
    said = "north:9: won at 1,240.50 EUR hammer, 1,502.10 EUR all in"
    amounts = ("1,240.50 EUR", "1,502.10 EUR")
    for width in range(12, len(said)):
        (line,) = fitting(said, width, 1)
        kept = line.removesuffix("..")
        assert said.startswith(kept), line
        whole = sum(kept.count(amount) for amount in amounts)
        assert sum(kept.count(figure) for figure in ("1,", "EUR")) == 2 * whole, line
    assert fitting(said, 38, 1) == ["north:9: won at 1,240.50 EUR hammer.."]
    assert fitting(said, 25, 1) == ["north:9: won at.."]


@given(texts, st.integers(3, 60))
def test_a_padded_text_has_the_width(text: str, width: int) -> None:
    assert cells(pad(text, width)) == width


@given(texts, st.integers(4, 60))
def test_wrapped_lines_fit_and_lose_nothing(text: str, width: int) -> None:
    lines = wrap(text, width)
    assert all(cells(line) <= width for line in lines)
    assert "".join("".join(lines).split()) == "".join(text.split())


def test_wide_letters_count_two_and_accents_none() -> None:
    assert cells("銀貨") == 4
    assert cells("Cafe\u0301") == 4
    assert pad("銀貨", 6, right=True) == "  銀貨"


def test_a_table_keeps_figures_right() -> None:
    assert table([["a", "1"], ["long", "250"]], right=frozenset({1})) == ["a       1", "long  250"]
