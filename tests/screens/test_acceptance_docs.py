"""Row 34 of the list in docs/screens.md: the five minutes of README.md, run line by line on the sample's own files."""

from __future__ import annotations

import json
import re
import shlex
from pathlib import Path

import pytest

from watchlist.cli import main
from watchlist.desk.sample import find_sample

ROOT = Path(__file__).resolve().parents[2]
MORNING = "2026-03-03T07:30:00+01:00"


def block() -> list[list[str]]:
    """The commands of the five minutes, as a shell would hand them over."""
    text = (ROOT / "README.md").read_text("utf-8")
    found = next(each for each in re.findall(r"```sh\n(.*?)```", text, re.S) if "watchlist gather" in each)
    return [shlex.split(line, comments=True)[1:] for line in found.splitlines() if line.strip()]


def test_the_five_minutes_of_the_readme_run(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """The address becomes the sample's feed; the lot becomes one that the feed has."""
    sample = find_sample()
    monkeypatch.chdir(sample)
    shared = ["--shelf", str(tmp_path / "shelf"), "--now", MORNING]
    lot = ""
    for words in block():
        here = [str(sample / "lindmoor.rss") if word.startswith("https://") else word for word in words]
        if "212" in here:
            lot = lot or a_lot(shared, capsys)
            here = [lot if word == "212" else word for word in here]
        capsys.readouterr()
        code = main([*here, *shared])
        said = capsys.readouterr()
        assert code == 0, f"{' '.join(here)}: {said.err}"
    assert lot


def a_lot(shared: list[str], capsys: pytest.CaptureFixture[str]) -> str:
    """A lot that is cheap enough for the bid of the page."""
    capsys.readouterr()
    assert main(["lots", "--json", *shared]) == 0
    rows = [json.loads(line) for line in capsys.readouterr().out.splitlines()]
    fit = [row for row in rows if row["price_kind"] == "so far" and not row["wants"] and row["mark"] == "in range"]
    return str(fit[0]["key"])
