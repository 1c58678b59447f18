"""The house itself: types, lint, layout, the direction of imports, sizes, and documents that agree with the code."""

from __future__ import annotations

import re
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests import house

ROOT = Path(__file__).resolve().parent.parent
PACKAGE = ROOT / "watchlist"
SOURCES = sorted(PACKAGE.rglob("*.py"))

MOST_LINES, MOST_OF_A_FUNCTION = 400, 60
MOST_KNOTTED = 15
"""Cognitive complexity of a function: above it a condition is a rule of the trade that has no name yet."""
MOST_INNER = 40
"""Imports of our own inside functions, each there so that the program starts soon."""
MOST_REPEATED = 20
"""Pairs of places that share six lines of one shape."""

pytestmark = pytest.mark.house


def run(*words: str) -> None:
    done = subprocess.run([sys.executable, *words], cwd=ROOT, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout + done.stderr


def name_of(path: Path) -> str:
    return str(path.relative_to(ROOT))


def test_types_hold_everywhere() -> None:
    run("-m", "mypy")


def test_lint_is_clean() -> None:
    run("-m", "ruff", "check", ".")


def test_the_layout_is_the_formatter_s() -> None:
    run("-m", "ruff", "format", "--check", ".")


def test_imports_run_one_way() -> None:
    run("-c", "import sys; from importlinter.cli import lint_imports_command; sys.exit(lint_imports_command())")


def test_no_two_files_import_each_other() -> None:
    assert house.circles(house.imports(PACKAGE)) == []


def test_imports_stand_at_the_head_of_a_file() -> None:
    assert len(house.inner_imports(PACKAGE)) <= MOST_INNER


def test_what_is_the_same_stands_once() -> None:
    found = house.repeated(PACKAGE)
    assert len(found) <= MOST_REPEATED, "\n".join(map(str, found))


def test_files_and_functions_stay_short_and_plain() -> None:
    assert [fault for path in SOURCES for fault in long_or_knotted(path)] == []


def long_or_knotted(path: Path) -> Iterator[str]:
    lines = len(path.read_text("utf-8").splitlines())
    if lines > MOST_LINES:
        yield f"{name_of(path)} has {lines} lines"
    for node in house.functions(path):
        length = (node.end_lineno or node.lineno) - node.lineno + 1
        if length > MOST_OF_A_FUNCTION:
            yield f"{name_of(path)}: {node.name} has {length} lines"
    yield from (f"{name_of(path)}: {fault}" for fault in house.knotted(path, MOST_KNOTTED))


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
