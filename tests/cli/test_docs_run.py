"""Every command in a shell block of docs/*.md is run, word for word and in its order, on the sample's season.

A page has a shelf of its own. A comment `# ends with 3` says which code a command ends with, else it is 0; `> FILE`
takes what it prints. The tour of the README has a test of its own, test_readme.py."""

from __future__ import annotations

import json
import re
import shlex
import shutil
import zipfile
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from tests.cli.conftest import NOW, Run, _runner
from watchlist.cli import main
from watchlist.shelf.open_form import bring_in, write_out

DOCS = Path(__file__).resolve().parents[2] / "docs"


def commands(page: Path) -> Iterator[str]:
    """The lines of its shell blocks that call the program."""
    for block in re.findall(r"^```sh\n(.*?)^```", page.read_text("utf-8"), re.S | re.M):
        yield from (line for line in block.splitlines() if line.startswith("watchlist "))


PAGES = [page for page in sorted(DOCS.glob("*.md")) if any(commands(page))]


@pytest.fixture(scope="module")
def season(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The season's shelf, as docs/season.md lays it out."""
    shelf = tmp_path_factory.mktemp("season") / "sample-shelf"
    assert main(["try", "--keep", str(shelf)]) == 0
    assert main(["try", "--keep", str(shelf)]) == 2, "what is there is not written over"
    return shelf


def worked(run: Run, page: Path) -> dict[str, str]:
    """What each command of a page said."""
    said: dict[str, str] = {}
    for line in commands(page):
        words, code = shlex.split(line, comments=True)[1:], re.search(r"# ends with (\d+)", line)
        into = words.index(">") if ">" in words else len(words)
        done = run(*words[:into])
        assert done.code == int(code[1] if code else 0), f"{page.name}: {line}: {done.err}"
        if words[into:]:
            file = Path(words[into + 1]).expanduser()
            file.parent.mkdir(parents=True, exist_ok=True)
            file.write_text(done.out, "utf-8")
        said[" ".join(words)] = done.out + done.err
    return said


def season_md(run: Run, said: dict[str, str], folder: Path) -> None:
    """What docs/season.md promises of its commands."""
    assert f"--now {NOW}" in (DOCS / "season.md").read_text("utf-8")
    assert "LM-101" in said["lots changed"]
    assert "March" in said["plan budget"]
    assert "less than each alone" in " ".join(said["parcel"].split())
    assert "LM-111: waits until LM-156 is lost" in said["plan"]
    assert "+ with shared postage. " in said["plan"]
    assert "+" not in said["plan --attended"], "there a bid costs what it costs alone"
    assert ".." not in said["plan --attended"], "coins are named whole"
    assert "bids by 3 March" in (folder / "lindmoor.txt").read_text("utf-8")
    assert (folder / "coins.ics").is_file()


def after_md(run: Run, said: dict[str, str], folder: Path) -> None:
    """After a whole season, its parcels and pieces, the shelf goes out and comes in again equal to the byte."""
    (parcel,) = [row["parcel"] for row in run("parcel", "--json").rows if "LM-101" in str(row["lots"])]
    for words in (("invoiced", "120", "--number", "881"), ("paid", "150"), ("arrived",)):
        assert run("parcel", parcel, *words, "--on", "2026-03-03").code == 0, words
    assert run("piece", "LM-101", "checked").code == 0
    assert run("want", "edit", "w01", "--note", "=1+1 <b>").code == 0
    assert run("undo").code == 0
    out, inside, again = (str(folder / name) for name in ("out.zip", "inside", "again.zip"))
    assert run("export", "shelf", out).code == 0
    bring_in(Path(out), Path(inside))
    assert write_out(Path(inside), Path(again)).read_bytes() == Path(out).read_bytes()
    with zipfile.ZipFile(out) as file:
        rows = json.loads(file.read("about.json"))["rows"]
    assert {name for name, number in rows.items() if not number} == set(), "a table that nothing fills proves nothing"


PROMISED: dict[str, Callable[[Run, dict[str, str], Path], None]] = {"season.md": season_md, "after.md": after_md}


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.name)
def test_the_commands_of_a_page_run(
    page: Path, season: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("HOME", str(tmp_path))
    shelf = shutil.copytree(season, tmp_path / "sample-shelf")
    run = _runner(shelf, capsys)
    said = worked(run, page)
    if page.name in PROMISED:
        PROMISED[page.name](run, said, tmp_path)


def test_the_readme_gives_no_command_that_nothing_runs() -> None:
    """Beside the tour it makes an environment and runs the program in it: .ci/run and .ci/noxfile.py do both."""
    text = (DOCS.parent / "README.md").read_text("utf-8")
    tour = text.partition("## Ten minutes")[2].partition("\n## ")[0]
    lines = "".join(re.findall(r"^```sh\n(.*?)^```", text.replace(tour, ""), re.S | re.M)).splitlines()
    assert [line for line in lines if not line.startswith("python3 -m venv .venv")] == []
