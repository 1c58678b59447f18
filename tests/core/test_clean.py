"""Text from outside: what is taken out, what stays, and that nothing takes long."""

from __future__ import annotations

import unicodedata

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.growth import IN_STEP, growth
from watchlist.core.clean import TITLE_CAP, clean, clean_lines, html_text, unescape

HOSTILE = [
    ("\x1b[31m5 tor\x1b[0m 1890-V", "5 tor 1890-V"),
    ("\x1b]8;;https://bad.example\x075 tor\x1b]8;;\x07", "5 tor"),
    ("\x1b]52;c;aGk=\x1b\\5 tor", "5 tor"),
    ("\x9b2J5 tor", "5 tor"),
    ("\x1b]0;never closed 5 tor", "0;never closed 5 tor"),
    ("\x1bc5 tor", "5 tor"),
    ("5 tor\u202e0981\u202c", "5 tor0981"),
    ("5\u200b \u2066tor\u2069\ufeff", "5 tor"),
    ("5 tor\ud800 1890", "5 tor 1890"),
    ("5 tor\x00\x07\x08 1890", "5 tor 1890"),
    ("5\u00a0tor\r\n1890\t VF", "5 tor 1890 VF"),
    ("5 tor\U000e0041\U000e0042", "5 tor"),
    ("soft\u00adly toned", "softly toned"),
]


@pytest.mark.parametrize(("text", "wanted"), HOSTILE)
def test_what_cannot_be_seen_is_taken_out(text: str, wanted: str) -> None:
    assert clean(text) == wanted


@pytest.mark.parametrize(
    "text", ["Prägung 1890 – 5 tor, ß", "5 тор 1890", "大正 9年 銀貨", "[/] [VF] 1845 {x}", "20<30"]
)
def test_letters_and_brackets_stay(text: str) -> None:
    assert clean(text) == text


def test_a_long_text_is_cut_with_a_sign_of_it() -> None:
    assert len(clean("5 tor " * 1000)) <= TITLE_CAP
    assert clean("5 tor " * 1000).endswith("…")


def test_accents_piled_on_a_letter_stop_at_four() -> None:
    assert clean("e" + "\u0301" * 500) == "e" + "\u0301" * 4


def test_lines_stay_lines() -> None:
    assert clean_lines("Price: 120 EUR\r\n\r\n\r\nCloses\u2028 soon \x1b[1m!") == "Price: 120 EUR\nCloses\nsoon !"


PAGES = [
    (
        "<table><tr><td>Price</td><td>120 EUR</td></tr><tr><th>Closes:</th><td>14 Mar 2026</td></tr></table>",
        "Price: 120 EUR\nCloses: 14 Mar 2026",
    ),
    ("<ul><li>Price: 120 EUR<li>Weight 25.8 g</ul>", "Price: 120 EUR\nWeight 25.8 g"),
    ("<dl><dt>Price</dt><dd>120 EUR</dd><dt>Grade</dt><dd>VF</dd></dl>", "Price: 120 EUR\nGrade: VF"),
    ("one<br>two<br/>three<BR />four", "one\ntwo\nthree\nfour"),
    ("<p>5 <b>tor</b> 18<i>90</i></p><p>VF</p>", "5 tor 1890\nVF"),
    ("<table><tr><td>1</td><td>5 tor</td><td>VF</td></tr></table>", "1 | 5 tor | VF"),
    ("Price &lt; 20 &euro; &amp; fees", "Price < 20 € & fees"),
    ("a<script>steal('<p>')</script>b<style>p{}</style>c", "abc"),
    ("a<!-- hidden --> b", "a b"),
    ("VF <20 and >5", "VF <20 and >5"),
    ("VF<XF and <b>so</b>", "VF<XF and so"),
    ("grade <", "grade <"),
    ("<![CDATA[ x", "<![CDATA[ x"),
    ("before <!-- never closed after", "before never closed after"),
    ('<a href="https://x.example/lot/1" title="it">the lot</a>', "the lot"),
    ("&#27;[31mred&#x202e;", "[31mred"),
]


@pytest.mark.parametrize(("markup", "wanted"), PAGES)
def test_the_words_of_markup(markup: str, wanted: str) -> None:
    assert html_text(markup) == wanted


def test_sixteen_thousand_unclosed_comments_leave_the_words() -> None:
    assert html_text("5 tor " + "<!--" * 16_000 + " 120 EUR") == "5 tor 120 EUR"


@pytest.mark.parametrize(
    "unit",
    [
        "<!--",
        "<!",
        "<a",
        "<a ",
        "</a",
        "<?",
        "<![",
        "<a x='",
        '<a x="',
        "&",
        "&#",
        "&a",
        "<a/",
        "<script>",
        "<td>",
        "<b>",
        "</",
        "<<",
        "<!-->",
        "<a>",
        "<style></",
        "<s>",
        "<del>x",
        "<strike><s></",
        "\x1b]",
        "\x1b[",
        "e\u0301",
    ],
)
@pytest.mark.parametrize("tail", ["", ">", "-->"])
def test_markup_takes_time_in_step_with_its_length(unit: str, tail: str) -> None:
    assert growth(lambda n: html_text(unit * (n // len(unit)) + tail), 25_000) < IN_STEP


def test_a_bare_ampersand_stays() -> None:
    assert unescape("A & B &co; &amp; &#x41;") == "A & B &co; & A"


@settings(max_examples=60, deadline=None)
@given(st.text(st.characters(exclude_categories=())))
def test_clean_leaves_one_line_without_controls(text: str) -> None:
    out = clean(text)
    assert not any(unicodedata.category(letter) in ("Cc", "Cs", "Zl", "Zp") for letter in out)
    assert out == clean(out)
    assert len(out) <= TITLE_CAP


PIECES = [*"<>/!-&;#ab '\"\x1b[]\u202e\n", "<tr>", "<td>", "<!--", "-->", "&lt;", "<li>"]


@settings(max_examples=60, deadline=None)
@given(st.lists(st.sampled_from(PIECES)).map("".join))
def test_any_markup_gives_plain_lines(markup: str) -> None:
    out = html_text(markup)
    assert not set("\x1b\u202e\r\t") & set(out)
