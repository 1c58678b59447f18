"""Titles against catalogues of invented countries: which issue is meant, and which stays open."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import NamedTuple
from zlib import crc32

import pytest

from tests.core.orvany import TONGUES
from watchlist.core.coins.catalogue import Catalogue, Issue
from watchlist.core.reading.reader import Reader
from watchlist.core.reading.record import Reading
from watchlist.core.reading.vocabulary.vocabulary import Vocabulary
from watchlist.words import load

CASES = Path(__file__).with_name("catalogue_titles.txt")


class Case(NamedTuple):
    """One title, the block it stands in, and what is expected of it."""

    block: str
    title: str
    issue: str
    fields: tuple[tuple[str, str], ...]


@cache
def blocks() -> tuple[dict[str, list[Issue]], list[Case]]:
    """The catalogues by block, and all titles."""
    shelves: dict[str, list[Issue]] = {}
    cases: list[Case] = []
    name = ""
    for line in CASES.read_text("utf-8").splitlines():
        if line.startswith("@"):
            name = line[2:]
        elif line.startswith("- "):
            title, _, want = line[2:].partition(" => ")
            issue, *more = (part.strip() for part in want.split(";"))
            cases.append(Case(name, title, issue, tuple(tuple(each.split("=")) for each in more)))  # type: ignore[misc]
        elif line and not line.startswith("#"):
            key, country, unit, year, mint, variety, note = (part.strip() for part in line.split("|"))
            shelves.setdefault(name, []).append(Issue(key, country, unit, int(year), mint, variety, note=note))
    return shelves, cases


@cache
def shelf(block: str) -> tuple[Catalogue, Reader]:
    """A catalogue as an import keeps it, and a reader that knows it, as the desk builds one."""
    plain, found = Reader(Vocabulary(load())), blocks()[0][block]
    named = ((i, plain.canonical_denomination(i.denomination, i.country)) for i in found)
    issues = (Issue(i.key, i.country, name, i.year, i.mint, i.variety, note=i.note) for i, name in named)
    catalogue = Catalogue(issues, TONGUES)
    reader = Reader(Vocabulary(load(), ["QCG"], catalogued=catalogue.catalogued))
    return catalogue, reader


def wrong(case: Case) -> Iterator[str]:
    """What of a title is not as expected."""
    catalogue, reader = shelf(case.block)
    reading = reader.read(case.title)
    match = catalogue.match(reading)
    got = match.issue.key if match.issue and len(match.candidates) < 2 else "?"
    if case.issue not in ("*", got):
        yield f"issue {got} for {case.issue}: {match.why}"
    for name, want in case.fields:
        if (value := field(reading, name)) != want:
            yield f"{name} {value} for {want}"


def field(reading: Reading, name: str) -> str:
    """A field as the cases write it."""
    if name == "grade":
        return "none" if reading.grade_low is None else f"{reading.grade_low}-{reading.grade_high}"
    if name == "qty":
        return str(reading.quantity) if reading.multiple else "none"
    return str(getattr(reading, name) or "none")


@pytest.mark.parametrize("case", blocks()[1], ids=lambda case: case.title)
def test_title(case: Case) -> None:
    assert list(wrong(case)) == []


def first_half(case: Case) -> bool:
    """Half of the titles, by their letters: the other is looked at only when the work is done."""
    return crc32(case.title.encode()) % 2 == 0


if __name__ == "__main__":
    for half in (True, False):
        cases = [case for case in blocks()[1] if first_half(case) is half]
        misses = {case: list(wrong(case)) for case in cases}
        print("first" if half else "second", sum(not miss for miss in misses.values()), "of", len(cases))
        for case, miss in misses.items() if half or "--all" in sys.argv else ():
            if miss:
                print("  ", case.title, "|", "; ".join(miss))
