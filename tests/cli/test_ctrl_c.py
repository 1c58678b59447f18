"""Ctrl+c in the middle of the imports, wherever it falls: one clean sentence or none, exit 130, no traceback."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
PROGRAM = """
import importlib.abc, os, signal, sys

module = sys.argv[1]
sys.argv[0:2] = ["watchlist"]
signal.signal(signal.SIGINT, signal.default_int_handler)

class Finger(importlib.abc.MetaPathFinder):
    def find_spec(self, name, path=None, target=None):
        if name == module:
            sys.meta_path.remove(self)
            os.kill(os.getpid(), signal.SIGINT)
        return None

from watchlist.__main__ import run
sys.meta_path.insert(0, Finger())
run()
"""


def press(module: str, shelf: Path, *words: str) -> subprocess.CompletedProcess[str]:
    """Run the command; ctrl+c is pressed as this module is about to be imported."""
    given = [sys.executable, "-c", PROGRAM, module, *words, "--shelf", str(shelf)]
    env = os.environ | {"PYTHONPATH": str(ROOT)}
    return subprocess.run(given, capture_output=True, text=True, timeout=60, check=False, env=env)


@pytest.mark.skipif(sys.platform == "win32", reason="a process cannot press ctrl+c for itself there")
@pytest.mark.parametrize(
    "module",
    [
        "watchlist.cli",
        "argparse",
        "watchlist.cli.out",
        "watchlist.cli.verbs.gather",
        "watchlist.desk.desk",
        "sqlite3",
        "tinydb",
    ],
)
def test_no_traceback_wherever_it_falls(tmp_path: Path, module: str) -> None:
    done = press(module, tmp_path / "shelf", "gather")
    assert done.returncode == 130
    assert "Traceback" not in done.stderr
    assert done.stderr in ("", "watchlist: stopped; stored data is intact.\n")


def test_a_library_that_wraps_it_does_not_make_it_a_fault(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    from watchlist.cli import main
    from watchlist.cli.verbs import lots

    def run(_: object) -> int:
        try:
            raise KeyboardInterrupt
        except KeyboardInterrupt as error:
            raise ImportError("the library could not be loaded") from error

    monkeypatch.setattr(lots, "run", run)
    assert main(["lots", "--shelf", str(tmp_path / "shelf")]) == 130
    assert capsys.readouterr().err == "watchlist: stopped; stored data is intact.\n"
