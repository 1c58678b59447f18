"""Designations: by a grade, on copper, in their own language."""

from __future__ import annotations

import pytest

from tests.core.reading.scanned import scan
from watchlist.core.reading.fields.designations import find_designations


def names(title: str, after: int = -1, *, copper: bool = False, proofed: bool = False) -> list[str]:
    """`after`: the token behind the grade, or -1 in a title without one."""
    return [name for name, _ in find_designations(scan(title), after, after >= 0, copper, proofed)]


@pytest.mark.parametrize(
    ("title", "after", "copper", "found"),
    [
        ("cent red brown", -1, True, ["RB"]),
        ("cent red brown", -1, False, ["RB"]),
        ("denar, red-brown patina", -1, False, []),
        ("MS 65 RD", 2, False, ["RD"]),
        ("tor rd 5", -1, True, []),
        ("MS 65 FS", 2, False, ["FS"]),
        ("MS 65 FS label", 2, False, []),
        ("MS 65 FS-101", 2, False, []),
        ("tor 1889 FS proof", -1, False, ["PROOF"]),
        ("MS 65 DCAM", 2, False, ["DCAM"]),
        ("proof tor", -1, False, ["PROOF"]),
        ("proof-like tor", -1, False, []),
        ("proof of age", -1, False, []),
        ("no proof", -1, False, []),
    ],
)
def test_designations(title: str, after: int, copper: bool, found: list[str]) -> None:
    assert [name for name in names(title, after, copper=copper) if name != "PL"] == found


def test_a_stronger_designation_stands_alone() -> None:
    assert names("MS 65 cameo deep cameo", 2) == ["DCAM"]
    assert names("PP", proofed=True) == ["PROOF"]


def test_a_doubted_designation() -> None:
    assert find_designations(scan("proof?"), -1, False, False, False) == [("PROOF", True)]
