"""The names that come from CLDR. Outside source: the Unicode Common Locale Data Repository, as carried by Babel."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from watchlist.core.folding import folded
from watchlist.words import from_cldr, load

KNOWN: dict[str, list[str]] = json.loads((Path(__file__).parents[1] / "data" / "known_names.json").read_text("utf-8"))
"""Names of months, weekdays, spans and currencies that were written by hand before CLDR was asked."""


@pytest.mark.parametrize("language", from_cldr.languages())
def test_the_files_are_what_the_script_makes(language: str) -> None:
    assert (from_cldr.HERE / "cldr" / f"{language}.toml").read_text("utf-8") == from_cldr.made(language)


def test_no_file_is_left_of_a_language_that_is_gone() -> None:
    assert {path.stem for path in (from_cldr.HERE / "cldr").glob("*.toml")} == set(from_cldr.languages())


@pytest.mark.parametrize("place", KNOWN)
def test_no_name_that_was_known_is_lost(place: str) -> None:
    table: Any = {"times": load("times"), "money": load("money")}
    for step in place.split("."):
        table = table[step]
    assert set(map(folded, KNOWN[place])) <= set(map(folded, table))


def test_no_month_and_no_weekday_is_two() -> None:
    for table in (load("times")["months"], load("times")["weekdays"]):
        names = [(folded(name), number) for number, listed in table.items() for name in listed]
        numbers: dict[str, set[str]] = {}
        for name, number in names:
            numbers.setdefault(name, set()).add(number)
        assert [name for name, them in numbers.items() if len(them) > 1] == []
