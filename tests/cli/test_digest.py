"""watchlist digest: a file or stdout, and each wrong word answered in one sentence."""

from __future__ import annotations

from email import message_from_string
from pathlib import Path

import pytest

from tests.cli.conftest import Run


def test_each_form_goes_to_a_file_or_to_stdout(run: Run, tmp_path: Path) -> None:
    for form, begins in (("txt", "Tue 3 Mar"), ("html", "<!doctype"), ("atom", "<?xml"), ("eml", "From: ")):
        path = tmp_path / f"morning.{form}"
        made = run("digest", str(path))
        assert (made.code, made.out) == (0, "")
        assert made.err == f"{path}: the morning. Watchlist sends nothing.\n"
        text = path.read_bytes().decode("ascii")
        assert text.startswith(begins)
        printed = run("digest", "--as", form)
        assert printed.out == text.replace("\r\n", "\n")
    assert run("digest").out == (tmp_path / "morning.txt").read_text("utf-8")
    letter = run("digest", "--as", "eml", "--to", "you@kestlin.example").out
    assert message_from_string(letter)["To"] == "you@kestlin.example"


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (
            ("morning.pdf",),
            "a digest is written as .txt, .html, .atom, .eml, not as `morning.pdf`; nothing was written",
        ),
        (("there.html",), "exists already. Nothing was written; --replace writes over it."),
        (("no/such/folder.html",), "could not be written"),
        (("m.eml", "--to", "two words"), "--to takes one mail address"),
        (("m.eml", "--to", "you@x.example\nBcc: all@x.example"), "--to takes one mail address"),
    ],
)
def test_what_cannot_be_written_is_refused(
    run: Run, words: tuple[str, ...], said: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    Path("there.html").write_text("mine", "utf-8")
    refused = run("digest", *words)
    assert (refused.code, refused.out) == (2, "")
    assert said in refused.err
    assert Path("there.html").read_text("utf-8") == "mine"
    assert not list(Path().glob("m.*"))
    assert run("digest", "there.html", "--replace").code == 0
