"""watchlist completion: each shell that is here completes what the parser takes, and nothing else."""

from __future__ import annotations

import shutil
import subprocess
from pathlib import Path

import pytest

from watchlist.cli import main
from watchlist.cli.completing import SHAPES, Place, places
from watchlist.cli.verbs import VERBS

ASKED = (
    ("", "wa", ["want"]),
    ("undo", "--js", ["--json"]),
    ("want", "e", ["edit"]),
    ("--shelf try venue", "ed", ["edit"]),  # the value of an option is no verb
    ("venue add", "--vat-on-imp", ["--vat-on-imported-pct"]),
    ("guide --order", "sc", ["scarcity"]),
    ("want add --certified --grade 40", "--ceil", ["--ceiling"]),
    ("export", "pr", ["prices"]),
    ("export lots", "--rep", ["--replace"]),
    ("digest --as", "h", ["html"]),
    ("parcel P12", "inv", ["invoiced"]),
)
"""Words of a command, the beginning of the next, and what completes it."""
ASK = {
    "bash": """
source "$1"; shift
while [ $# -gt 0 ]; do
    COMP_WORDS=(watchlist $1 "$2"); COMP_CWORD=$((${#COMP_WORDS[@]} - 1)); COMPREPLY=()
    _watchlist; echo "${COMPREPLY[*]}"; shift 2
done
""",
    "zsh": """
compdef() { }; _files() { }
_describe() { print -r -- ${(M)${(@)${(@P)2}%%:*}:#$words[CURRENT]*} }
source "$1"; shift
while [ $# -gt 0 ]; do
    words=(watchlist ${=1} "$2"); CURRENT=$#words; _watchlist; shift 2
done
""",
    "fish": """
source $argv[1]
set -l asked $argv[2..]
while set -q asked[1]
    set -l line (string join -n ' ' -- watchlist $asked[1])" $asked[2]"
    echo (complete -C $line | string replace -r '\\t.*' '')
    set -e asked[1..2]
end
""",
}


@pytest.mark.parametrize("shell", SHAPES)
def test_a_shell_completes_what_the_parser_takes(
    shell: str, tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    assert main(["completion", shell]) == 0
    found = shutil.which(shell)
    if found is None:
        pytest.skip(f"no {shell} here")
    monkeypatch.setenv("HOME", str(tmp_path))
    monkeypatch.chdir(tmp_path)
    (tmp_path / "script").write_text(capsys.readouterr().out, "utf-8")
    (tmp_path / "ask").write_text(ASK[shell], "utf-8")
    words = [word for so_far, begun, _ in ASKED for word in (so_far, begun)]
    quiet = {"bash": ["--norc"], "zsh": ["-f"], "fish": ["--no-config"]}[shell]
    done = subprocess.run(
        [found, *quiet, str(tmp_path / "ask"), str(tmp_path / "script"), *words],
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.stderr == ""
    assert [line.split() for line in done.stdout.splitlines()] == [want for *_, want in ASKED]


def test_the_table_is_the_parser_s() -> None:
    at: dict[str, Place] = {place.at: place for place in places()}
    assert at[""].words == VERBS
    assert set(VERBS) <= set(at)
    assert at["want"].words.keys() == {"add", "list", "edit", "drop"}
    assert at["digest"].values["--as"] == ("txt", "html", "atom", "eml")
    assert at["digest"].values["--to"] == ()
    assert "--replace" not in at["export"].values, "it takes no value"
    assert at["lots"].options["--csv"] == "a table for a spreadsheet"
