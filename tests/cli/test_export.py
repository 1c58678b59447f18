"""watchlist export and import shelf: the files they make, and each wrong word answered in one sentence."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from tests.cli.conftest import Run, _runner


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (
            ("export", "lots", "lots.xls"),
            "a table is written as .csv or .jsonl, not as `lots.xls`; nothing was written",
        ),
        (("export", "coins", "lots.csv"), "`coins` is not valid"),
        (("export", "lots", "there.csv"), "exists already. Nothing was written; --replace writes over it."),
        (("export", "shelf", "there.csv"), "exists already. Nothing was written; --replace writes over it."),
        (("import", "shelf", "there.csv"), "there.csv is damaged (File is not a zip file). Nothing was changed."),
        (("import", "shelf", "none.zip"), "could not be brought back"),
        (("import", "shelf", "there.csv", "--dry-run"), "has no --dry-run; nothing was changed"),
    ],
)
def test_what_cannot_be_done_is_one_sentence(
    run: Run, words: tuple[str, ...], said: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    Path("there.csv").write_text("mine", "utf-8")
    refused = run(*words)
    assert (refused.code, refused.out) == (2, "")
    assert said in refused.err
    assert refused.err.count("\n") == 1
    assert Path("there.csv").read_text("utf-8") == "mine"
    assert {path.name for path in tmp_path.iterdir()} <= {"there.csv", "shelf"}


def test_a_table_is_written_in_the_form_that_its_name_says(run: Run, tmp_path: Path) -> None:
    run("want", "add", "--coin", "Orvany 5 tor 1893-V", "--grade", "40", "--ceiling", "90EUR")
    for form in ("csv", "jsonl"):
        assert run("export", "wants", str(tmp_path / f"wants.{form}")).err == f"{tmp_path / 'wants'}.{form}: wants.\n"
    head, line = (tmp_path / "wants.csv").read_text("utf-8").splitlines()
    assert dict(zip(head.split(","), line.split(","), strict=True))["ceiling"] == "90"
    assert json.loads((tmp_path / "wants.jsonl").read_text("utf-8"))["ceiling"] == "90"


def test_a_whole_shelf_goes_to_another_folder(
    sample_shelf: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    here, there, file = _runner(sample_shelf, capsys), _runner(tmp_path / "other", capsys), tmp_path / "whole.zip"
    assert here("export", "shelf", str(file)).code == 0
    assert there("import", "shelf", str(file)).err == f"{tmp_path / 'other'}: the whole shelf of {file}.\n"
    assert "holds a shelf already" in there("import", "shelf", str(file)).err
    assert there("export", "shelf", str(tmp_path / "again.zip")).code == 0
    assert (tmp_path / "again.zip").read_bytes() == file.read_bytes()
