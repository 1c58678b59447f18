"""The house itself: types, lint, the direction of imports, sizes, and documents that agree with the code."""

from __future__ import annotations

import ast
import re
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent
PACKAGE = ROOT / "watchlist"
SOURCES = sorted(PACKAGE.rglob("*.py"))

pytestmark = pytest.mark.house


def run(*words: str) -> None:
    done = subprocess.run([sys.executable, *words], cwd=ROOT, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout + done.stderr


def test_types_hold_everywhere() -> None:
    run("-m", "mypy")


def test_lint_is_clean() -> None:
    run("-m", "ruff", "check", ".")


def test_imports_run_one_way() -> None:
    run("-c", "import sys; from importlinter.cli import lint_imports_command; sys.exit(lint_imports_command())")


@pytest.mark.parametrize("path", SOURCES, ids=lambda p: str(p.relative_to(ROOT)))
def test_files_and_functions_stay_short(path: Path) -> None:
    text = path.read_text("utf-8")
    assert len(text.splitlines()) <= 400
    for node in ast.walk(ast.parse(text)):
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
            length = (node.end_lineno or node.lineno) - node.lineno + 1
            assert length <= 60, f"{path.name}: {node.name} has {length} lines"


def test_readme_and_ci_give_the_same_test_command() -> None:
    command = (ROOT / ".ci" / "run").read_text("utf-8").splitlines()[-1]
    assert command in (ROOT / "README.md").read_text("utf-8")


def test_every_verb_of_the_command_is_in_the_docs_and_the_other_way_round() -> None:
    from watchlist.cli.verbs import VERBS

    page = (ROOT / "docs" / "commands.md").read_text("utf-8")
    named = set(re.findall(r"^watchlist ([a-z]+)", page, re.MULTILINE))
    assert named == set(VERBS)


def test_a_plain_verb_wakes_neither_screen_nor_network_nor_numpy() -> None:
    code = (
        "import sys, watchlist.cli, watchlist.desk;"
        "heavy = {'textual', 'httpx', 'numpy', 'feedparser'} & set(sys.modules);"
        "sys.exit(', '.join(sorted(heavy)) or 0)"
    )
    run("-c", code)
