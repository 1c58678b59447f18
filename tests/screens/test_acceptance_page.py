"""docs/screens.md says of each promise where it is shown: every place that it names is there."""

from __future__ import annotations

import ast
import re
from pathlib import Path

from watchlist import __version__

ROOT = Path(__file__).resolve().parents[2]
SECTION = (ROOT / "docs" / "screens.md").read_text("utf-8").partition("## What is promised and where it is shown")[2]
ROWS = re.findall(r"^\| (\d+) \| (.+?) \| (.+?) \|$", SECTION, re.M)


def test_every_promise_has_its_line() -> None:
    assert [int(number) for number, _, _ in ROWS] == list(range(1, 36))


def test_every_test_and_bench_that_is_named_is_there() -> None:
    for number, _, shown in ROWS:
        places = re.findall(r"`([\w/]+\.py)(?:::(\w+))?`", shown)
        assert places, number
        for path, name in places:
            text = (ROOT / "tests" / path).read_text("utf-8")
            names = {
                node.name
                for node in ast.walk(ast.parse(text))
                if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef)
            }
            assert not name or name in names, f"row {number}: {path}::{name}"


def test_the_changes_are_for_users_one_line_each() -> None:
    """By version, the newest first; each change one line, a sentence."""
    text = (ROOT / "docs" / "changes.md").read_text("utf-8")
    head, *versions = re.split(r"^## ", text, flags=re.M)
    assert head == "# Changes\n\nFor those who use it; one line each, newest first.\n\n"
    assert versions[0].startswith(f"{__version__}\n")
    for version in versions:
        number, empty, *entries = version.rstrip("\n").split("\n")
        assert re.fullmatch(r"\d+\.\d+\.\d+", number)
        assert empty == ""
        assert [line for line in entries if line and not re.fullmatch(r"\* \S.*[.)]", line)] == []
        assert len(set(entries)) == len(entries)
        assert not [line for line in entries if re.search(r"refactor|\bclass\b|\bmodule\b|\.py\b", line)]
