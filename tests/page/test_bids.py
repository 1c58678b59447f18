"""Cells of the bid list and of the plan."""

from __future__ import annotations

import pytest

from watchlist.page.bids import short_number


@pytest.mark.parametrize(
    ("id", "shown"),
    [("LM-101", "LM-101"), ("tag:wexby.example,2026:330148875", "330148875"), ("a:b", "a:b"), ("", "")],
)
def test_a_number_is_that_of_the_venue(id: str, shown: str) -> None:
    assert short_number(id) == shown
