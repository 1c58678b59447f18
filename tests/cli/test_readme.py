"""The ten minutes of README.md, word for word: a newcomer's own lots are valued at the end."""

from __future__ import annotations

import re
import shlex
import shutil
from pathlib import Path

import pytest

from tests.cli.conftest import Run
from tests.desk.conftest import build_once
from watchlist.desk import desk as desk_file

ROOT = Path(__file__).resolve().parents[2]


def tour() -> str:
    """The commands of the tour, in their order."""
    text = (ROOT / "README.md").read_text("utf-8")
    part = text.partition("## Ten minutes")[2].partition("\n## ")[0]
    return "".join(re.findall(r"```sh\n(.*?)```", part, re.S))


def test_the_tour_values_lots_of_ones_own(run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    commands = tour()
    head, typed, rest = re.fullmatch(r"(.*?)cat > lots.csv <<'END'\n(.*?)END\n(.*)", commands, re.S).groups()  # type: ignore[union-attr]
    assert "cp sample_feeds/*.csv my-files/ && cd my-files" in head
    for path in (ROOT / "sample_feeds").glob("*.csv"):
        shutil.copy(path, tmp_path)
    (tmp_path / "lots.csv").write_text(typed, "utf-8")
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr(desk_file, "build_reader", build_once)
    said: dict[str, str] = {}
    for line in (*head.splitlines(), *rest.splitlines()):
        words = shlex.split(line)
        if words[0] == "watchlist":
            done = run(*words[1:])
            assert done.code == 0, (line, done.err)
            said[words[1]] = done.out + done.err
    assert len(said) >= 9
    marks = [row.split()[0][0] for row in said["lots"].splitlines()[1:]]
    assert [marks[0], marks[2], marks[4]] == ["B", "C", "?"]
    assert "w04" in said["lot"]
    assert "Undone: follow" in said["undo"]
