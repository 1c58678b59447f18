"""The command line run in this process, on a shelf of its own."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest

from watchlist.cli import main

NOW = "2026-03-03T07:30:00+01:00"


@dataclass(frozen=True)
class Ran:
    """What one command left: its exit code, its data, its talk."""

    code: int
    out: str
    err: str

    @property
    def rows(self) -> list[dict[str, Any]]:
        """stdout as JSON lines."""
        return [json.loads(line) for line in self.out.splitlines()]


Run = Callable[..., Ran]


@pytest.fixture
def run(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Run:
    """Run `watchlist` words on an empty shelf of this test."""
    return _runner(tmp_path / "shelf", capsys)


def _runner(shelf: Path, capsys: pytest.CaptureFixture[str]) -> Run:
    def run(*words: str, now: str = NOW) -> Ran:
        capsys.readouterr()
        code = main([*words, "--shelf", str(shelf), "--now", now])
        said = capsys.readouterr()
        return Ran(code, said.out, said.err)

    run.shelf = shelf  # type: ignore[attr-defined]
    return run


@pytest.fixture
def on_sample(sample_shelf: Path, capsys: pytest.CaptureFixture[str]) -> Run:
    """Run words on a copy of the sample shelf."""
    return _runner(sample_shelf, capsys)
