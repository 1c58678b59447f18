"""Words for problems, copies and things that are not coins: where they mean it, and where they do not."""

from __future__ import annotations

import pytest

from tests.core.reading.scanned import scan
from watchlist.core.reading.fields.kinds import find_kind
from watchlist.core.reading.fields.problems import canonical_problems, find_problems
from watchlist.core.reading.fields.replicas import is_replica


@pytest.mark.parametrize(
    ("title", "problems"),
    [
        ("tor 1889 cleaned, holed", ["cleaned", "holed"]),
        ("tor 1889 never cleaned", []),
        ("tor 1889 cleaned? no", []),
        ("tor 1889 RF", ["rim_ding"]),
        ("tor 1889 rf", []),
        ("tor 1889 scr.", ["scratched"]),
        ("tor 1889 scr", []),
        ("tor 5 kr.", []),
        ("Mount", ["mount_removed"]),
        ("Mount Vernon", []),
        ("tor XF details", []),
        ("moneta delle zecche di Roma argento", []),
    ],
)
def test_problems(title: str, problems: list[str]) -> None:
    assert [finer for finer, _, _ in find_problems(scan(title))] == problems


def test_a_hedged_problem_keeps_its_doubt() -> None:
    assert find_problems(scan("tor possibly cleaned")) == [("cleaned", "cleaned", True)]


def test_details_come_last() -> None:
    kinds = {"rim_ding": "rim_damage", "fine": ""}
    assert canonical_problems(["details", "rim_ding", "holed", "fine"], kinds, details=True) == (
        "rim_damage",
        "holed",
        "details",
    )
    assert canonical_problems(["details"], kinds, details=False) == ()


@pytest.mark.parametrize(
    ("title", "copied"),
    [
        ("tor 1889 copy", True),
        ("tor 1889 not a copy", False),
        ("tor 1889 copy? no", False),
        ("tor 1889 with copy of the invoice", False),
        ("tor 1889 not original", True),
        ("tor 1889 not original packaging", False),
    ],
)
def test_copies(title: str, copied: bool) -> None:
    assert is_replica(scan(title)) == copied


@pytest.mark.parametrize(
    ("title", "kind"),
    [
        ("medal 1902", "medal"),
        ("no medal", "coin"),
        ("love token", "coin"),
        ("silver bar 10 oz", "bar"),
        ("silver bar", "coin"),
        ("silver round 1 oz", "round"),
        ("round tor", "coin"),
        ("tor with box", "coin"),
        ("5 tor banknote", "object"),
    ],
)
def test_kinds(title: str, kind: str) -> None:
    assert find_kind(scan(title)) == kind
