"""Whole entries as sellers write them, in eleven languages: title, description and columns, price and closing time."""

from __future__ import annotations

from tests.score_entries import DEFAULT, score


def test_whole_entries_are_read_as_well_as_ever() -> None:
    """300 entries of the project's own, 200 of them learnt from; tests/score_entries.py --show tells what is wrong."""
    found = score(DEFAULT)
    assert found.rows.total() == 300
    assert found.whole.total() >= 293
    assert found.f1 >= 0.985
    assert found.right["price"] >= found.count["price"] - 3
    assert found.right["year"] == found.count["year"]


def test_entries_by_other_hands_are_read_as_well_as_ever() -> None:
    """480 entries by three writers who saw neither program nor words; docs/titles.md has their first readings."""
    found = score(DEFAULT.with_name("entries_unseen.jsonl"))
    assert found.rows.total() == 480
    assert found.whole.total() >= 415
    assert found.f1 >= 0.98
    assert found.right["price"] >= found.count["price"] - 12
    assert found.right["closes"] >= found.count["closes"] - 3
