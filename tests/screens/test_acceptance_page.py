"""docs/screens.md says of each promise where it is shown: every place that it names is there."""

from __future__ import annotations

import ast
import re
from pathlib import Path

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
    text = (ROOT / "docs" / "changes.md").read_text("utf-8")
    entries = [line for line in text.splitlines() if line.startswith(("- ", "* "))]
    assert entries
    assert not [line for line in entries if re.search(r"refactor|\bclass\b|\bmodule\b|\.py\b", line)]
