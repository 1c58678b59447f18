"""Keys typed ahead of the screen, as they come in one piece over a slow line."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.screens.test_terminal import Terminal


@pytest.fixture
def terminal(sample_shelf: Path) -> Iterator[Terminal]:
    made = Terminal(sample_shelf)
    made.until("Quit")
    yield made
    made.close()


def test_a_sift_typed_in_one_go_is_the_sift(terminal: Terminal) -> None:
    terminal.until("Nothing matches `mark:d xq`", terminal.press("/mark:d xq\r"))
    terminal.press("q")
    assert terminal.end() == 0


def test_what_is_typed_behind_tab_stands_in_the_next_field(terminal: Terminal) -> None:
    terminal.until("of 30 wants", terminal.press("2"))
    start = terminal.press("aOrvany 5 tor 1893-V\t\t-5 EUR\r")
    terminal.until("The ceiling is above zero, not -5 EUR", start)


def test_keys_of_several_screens_in_one_go(terminal: Terminal) -> None:
    terminal.until("2 bids", terminal.press("bjb3"))
    terminal.until("of 30 wants", terminal.press("2?\x1b"))
    terminal.press("12345q")
    assert terminal.end() == 0
