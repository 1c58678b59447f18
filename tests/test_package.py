"""What a wheel is made of; `.ci/noxfile.py` builds one and uses it far from here."""

from __future__ import annotations

import shutil
import subprocess
import tomllib
from pathlib import Path
from typing import Any

import pytest

ROOT = Path(__file__).resolve().parents[1]
TOLD: dict[str, Any] = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))


def test_the_package_and_the_samples_go_into_the_wheel() -> None:
    wheel = TOLD["tool"]["hatch"]["build"]["targets"]["wheel"]
    assert wheel == {"packages": ["watchlist"], "force-include": {"sample_feeds": "watchlist/sample_feeds"}}
    assert TOLD["project"]["scripts"] == {"watchlist": "watchlist.__main__:run"}
    assert TOLD["tool"]["hatch"]["version"] == {"path": "watchlist/__init__.py"}


@pytest.mark.skipif(not (ROOT / ".git").exists() or shutil.which("git") is None, reason="no checkout")
def test_no_file_that_is_needed_is_ignored() -> None:
    """A wheel holds what .gitignore does not name."""
    words = ["git", "ls-files", "--others", "--ignored", "--exclude-standard", "watchlist", "sample_feeds"]
    ignored = subprocess.run(words, cwd=ROOT, capture_output=True, text=True, check=True).stdout.splitlines()
    assert [name for name in ignored if "__pycache__" not in name] == []
