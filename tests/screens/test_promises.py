"""Promises of the screens that can be computed: contrast, documents that agree with the keys, signs beside colours.

Contrast: Web Content Accessibility Guidelines 2.2, relative luminance and contrast ratio."""

from __future__ import annotations

from pathlib import Path

import pytest

from watchlist.core.marks.record import SIGNS
from watchlist.screens.actions import ACTIONS, LISTS, on
from watchlist.screens.keydocs import page
from watchlist.screens.looks import LOOKS, contrast

ROOT = Path(__file__).resolve().parents[2]


@pytest.mark.parametrize("name", sorted(LOOKS))
def test_every_ink_stands_out_from_its_ground(name: str) -> None:
    look = LOOKS[name]
    for role in ("ink", "quiet", "bargain", "doubt", "over"):
        assert contrast(getattr(look, role), look.ground) >= 4.5, role


def test_the_measure_of_contrast_is_that_of_the_guidelines() -> None:
    assert contrast("#000000", "#ffffff") == pytest.approx(21.0)
    assert contrast("#777777", "#ffffff") == pytest.approx(4.48, abs=0.01)  # the guidelines' known near miss


def test_marks_differ_by_letter_not_by_colour_alone() -> None:
    assert len(set(SIGNS.values())) == len(SIGNS)


def test_the_page_of_keys_is_the_table_of_keys() -> None:
    assert (ROOT / "docs" / "keys.md").read_text("utf-8") == page()


def test_no_key_needs_altgr_alt_or_what_terminals_take() -> None:
    taken = {"ctrl+i", "ctrl+m", "ctrl+h", "ctrl+j", "ctrl+[", "ctrl+a", "ctrl+b", "ctrl+s"}
    for action in ACTIONS:
        assert not taken & set(action.keys), action.id
        assert not any(key.startswith("alt+") for key in action.keys), action.id


def test_no_screen_gives_one_key_two_meanings() -> None:
    for screen in (*LISTS, "ticket"):
        keys = [key for action in on(screen) for key in action.keys]
        assert len(keys) == len(set(keys)), screen
