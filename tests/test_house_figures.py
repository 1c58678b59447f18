"""The measures of the house, tried on a house of paper: each must see what it is there to see."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests import house

LIKE = """
def {name}(rows):
    total = 0
    for row in rows:
        if row.{field} > {number}:
            total += row.{field}
    total = total / len(rows)
    print("{name}", total)
    return total
"""


@pytest.fixture
def paper(tmp_path: Path) -> Path:
    """A package of three files."""
    package = tmp_path / "paper"
    package.mkdir()
    (package / "__init__.py").write_text("")
    (package / "one.py").write_text("from paper.two import b\n" + LIKE.format(name="a", field="cost", number=1))
    (package / "two.py").write_text(
        "from typing import TYPE_CHECKING\n\nif TYPE_CHECKING:\n    from paper import one\n"
        + LIKE.format(name="b", field="price", number=7)
    )
    (package / "three.py").write_text("def late():\n    from paper import one, two\n    return one, two\n")
    return package


def test_a_circle_is_seen_under_type_checking_too(paper: Path) -> None:
    assert house.circles(house.imports(paper)) == [["paper.one", "paper.two"]]


def test_an_import_in_a_function_is_seen(paper: Path) -> None:
    assert house.inner_imports(paper) == ["paper/three.py:2"]


def test_lines_alike_but_for_names_are_a_pair(paper: Path) -> None:
    (pair,) = house.repeated(paper)
    assert (pair.one, pair.other, pair.lines) == ("paper/one.py:3", "paper/two.py:6", 7)


def test_rows_of_a_table_repeat_nothing(paper: Path) -> None:
    rows = "".join(f'    "{letter}": {number},\n' for number, letter in enumerate("abcdefghi"))
    (paper / "one.py").write_text(f"A = {{\n{rows}}}\n")
    (paper / "two.py").write_text(f"B = {{\n{rows}}}\n")
    assert house.repeated(paper) == []


def test_a_knot_is_seen(paper: Path) -> None:
    deep = "def knot(a):\n" + "".join(f"{'    ' * n}if a > {n}:\n" for n in range(1, 7)) + f"{'    ' * 7}return a\n"
    (paper / "one.py").write_text(deep)
    assert house.knotted(paper / "one.py", 15) == ["one.py: knot 21"]
    assert house.knotted(paper / "one.py", 21) == []
