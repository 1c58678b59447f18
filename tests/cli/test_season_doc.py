"""docs/season.md, word for word: every command is run on the sample's season, in its order."""

from __future__ import annotations

import re
import shlex
from pathlib import Path

import pytest

from tests.cli.conftest import NOW, Run, _runner
from watchlist.cli import main

PAGE = Path(__file__).resolve().parents[2] / "docs" / "season.md"


def test_the_worked_season_does_what_it_says(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    text = PAGE.read_text("utf-8")
    monkeypatch.chdir(tmp_path)
    assert main(["try", "--keep", "sample-shelf"]) == 0
    assert f"--now {NOW}" in capsys.readouterr().err
    assert f"--now {NOW}" in text
    assert main(["try", "--keep", "sample-shelf"]) == 2, "what is there is not written over"
    run: Run = _runner(tmp_path / "sample-shelf", capsys)
    blocks = re.findall(r"```sh\n(.*?)```", text, re.S)
    lines = [line for block in blocks for line in block.splitlines()]
    assert len(lines) > 15
    said: dict[str, str] = {}
    for line in lines:
        words = shlex.split(line, comments=True)
        done = run(*words[1:])
        assert done.code == 0, f"{line}: {done.err}"
        said[" ".join(words[1:])] = done.out + done.err
    assert "LM-101" in said["lots changed"]
    assert "March" in said["plan budget"]
    assert "less than each alone" in " ".join(said["parcel"].split())
    assert "LM-111: waits until LM-156 is lost" in said["plan"]
    sheet = (tmp_path / "lindmoor.txt").read_text("utf-8")
    assert "bids by 3 March" in sheet
    assert (tmp_path / "coins.ics").is_file()
