"""Titles read as a whole, against tests/data/titles.jsonl: invented titles with the right reading (our own wording)."""

from __future__ import annotations

import json
from collections import Counter
from pathlib import Path

import pytest

from tests import score_titles
from tests.meaning import reader

TESTS = Path(__file__).resolve().parent.parent.parent
READER = reader()


def shares(name: str) -> tuple[float, float]:
    """Share of fields and of whole titles that are right."""
    right: Counter[str] = Counter()
    count: Counter[str] = Counter()
    whole: list[bool] = []
    for line in (TESTS / "data" / name).read_text("utf-8").splitlines():
        row = json.loads(line)
        good = True
        for field, ok, _, _ in score_titles.compare(row, READER.read(row["title"])):
            count[field] += 1
            right[field] += ok
            good = good and (ok or field not in score_titles.WHOLE)
        whole.append(good)
    return sum(right.values()) / sum(count.values()), sum(whole) / len(whole)


def test_the_trades_own_titles() -> None:
    fields, whole = shares("titles.jsonl")
    assert fields >= 0.98
    assert whole >= 0.95


def test_the_titles_of_another_author() -> None:
    """They were kept unseen until they had been read once (docs/titles.md); now they guard what was mended."""
    fields, whole = shares("held_titles.jsonl")
    assert fields >= 0.98
    assert whole >= 0.95


def test_our_own_titles() -> None:
    if not (TESTS / "data" / "own_titles.jsonl").exists():
        pytest.skip("no own_titles.jsonl")
    fields, whole = shares("own_titles.jsonl")
    assert fields >= 0.97
    assert whole >= 0.85


def test_titles_of_the_world() -> None:
    """Six languages, all periods, written before reader and word lists were seen; this half was then looked at."""
    fields, whole = shares("titles_world.jsonl")
    assert fields >= 0.99
    assert whole >= 0.97


def test_the_half_that_stays_unseen() -> None:
    """The other half, drawn at random: its misses are never looked at. Below the floor something general has broken."""
    fields, whole = shares("titles_world_held.jsonl")
    assert fields >= 0.975
    assert whole >= 0.86


def test_titles_by_three_other_hands() -> None:
    """440 titles, looked at since they were first read (docs/titles.md)."""
    fields, whole = shares("titles_unseen.jsonl")
    assert fields >= 0.99
    assert whole >= 0.95
