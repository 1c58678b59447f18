"""The look of every page of ours: AA contrast in light, dark and print (Web Content Accessibility Guidelines 2.2, 1.4.3
and 1.4.11)."""

from __future__ import annotations

import re

import pytest

from watchlist.page.html import STYLE, TINT, words
from watchlist.screens.looks import contrast

LIGHT, _, REST = STYLE.partition("@media (prefers-color-scheme: dark)")
DARK = REST.partition("@media screen")[0]
TEXT, GRAPHIC = 4.5, 3.0


def colours(css: str) -> tuple[str, set[str]]:
    """The one ground of a look, and its inks: text, what is said quietly, links."""
    grounds = set(re.findall(r"background: (#[0-9a-f]{6})", css))
    inks = re.findall(r"[ {]color: (#[0-9a-f]{6})", css)
    assert (len(grounds), len(inks)) == (1, 3)
    return grounds.pop(), set(inks)


def blend(ink: str, ground: str, part: float) -> str:
    """What so much of an ink makes of a ground."""
    pairs = ((int(ink[at : at + 2], 16), int(ground[at : at + 2], 16)) for at in (1, 3, 5))
    return "#" + "".join(f"{round(part * over + (1 - part) * under):02x}" for over, under in pairs)


@pytest.mark.parametrize("css", [LIGHT, DARK], ids=["light", "dark"])
def test_every_ink_is_read_on_every_ground(css: str) -> None:
    ground, inks = colours(css)
    assert min(contrast(ink, ground) for ink in inks) >= TEXT


@pytest.mark.parametrize(
    ("ink", "ground"),
    [("#1d1f21", "#f7f4ec"), ("#e6e2d8", "#14171a"), ("#000000", "#ffffff")],
    ids=["light", "dark", "print"],
)
def test_what_is_filled_stands_out_from_the_ground_and_from_the_line_upon_it(ink: str, ground: str) -> None:
    if ink != "#000000":
        css = LIGHT if ground == "#f7f4ec" else DARK
        assert colours(css)[0] == ground
        assert f"color: {ink}" in css
    filled = blend(ink, ground, float(TINT))
    assert contrast(filled, ground) >= GRAPHIC
    assert contrast(filled, ink) >= GRAPHIC


def test_no_colour_stands_outside_the_looks() -> None:
    """Print is black on the paper; nothing else names a colour of its own."""
    assert set(re.findall(r"#[0-9a-f]{3,6}", REST.removeprefix(DARK))) == {"#000"}


def test_commands_stand_as_code_and_no_grade_or_month_is_broken() -> None:
    assert words("2 more: `watchlist lots <b>`") == "2 more: <code>watchlist lots &lt;b&gt;</code>"
    assert words("VF-30 & 2025-08, a `quote alone") == "<span>VF-30</span> &amp; <span>2025-08,</span> a `quote alone"
    assert words("a-word-too-long-to-keep-whole") == "a-word-too-long-to-keep-whole"
