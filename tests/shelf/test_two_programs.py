"""Two programs on one shelf lose no decision; tests/bench/bench_two_programs.py lets them run for an hour."""

from __future__ import annotations

from pathlib import Path

from tests.bench.two_programs import lay_out, lost, programs


def test_two_programs_on_one_shelf_lose_no_decision(tmp_path: Path) -> None:
    lay_out(tmp_path / "shelf")
    made = list(programs(tmp_path / "shelf", 0.3))
    lines = [line for _, said in made for line in said]
    assert all(tried for tried, _ in made)
    assert lines
    assert lost(tmp_path / "shelf", lines) == []
