"""Troubles in words: every kind has its sentence, with all its facts; what is a fact of one cannot break another."""

from __future__ import annotations

import re
from datetime import UTC, datetime
from typing import get_args

import pytest

from watchlist.core.lots.trouble import Trouble, TroubleKind
from watchlist.page.troubles import SAID, sentence, trouble_line, what

KINDS: list[TroubleKind] = [kind for group in get_args(TroubleKind) for kind in get_args(group)]
FACTS = {
    "said": "no route", "seconds": 30.0, "times": 5, "to": "https://a.example/", "number": "127.0.0.1", "status": 429,
    "until": datetime(2026, 3, 2, 10, 2, tzinfo=UTC), "size": 12_345, "megabytes": 32, "name": "br", "why": "a reason",
    "root": "html", "entries": 3, "seen": "a, b", "lines": 100_000, "note": "a note", "left": 7, "more": 9,
    "earlier": "entry 1", "heading": "Wot", "field": "price", "text": "call us", "count": 2,
}  # fmt: skip


def test_every_kind_has_its_sentence_and_no_sentence_is_without_a_kind() -> None:
    assert set(KINDS) == set(SAID)
    assert len(KINDS) == len(set(KINDS))


@pytest.mark.parametrize("kind", KINDS)
def test_a_sentence_has_all_its_facts(kind: TroubleKind) -> None:
    told = sentence(Trouble(kind, "a.example", FACTS))
    assert told.startswith("a.example ")
    assert "{" not in told
    assert not re.search(r"[.;\s]$", told)


@pytest.mark.parametrize(
    ("status", "words"),
    [
        (404, "a.example answers 404 (no such page); stored lots are unchanged; check the address"),
        (418, "a.example answers 418; stored lots are unchanged; check the address"),
        (503, "a.example answers 503 (a fault on its side); stored lots are unchanged; try again later"),
    ],
)
def test_a_status_in_words(status: int, words: str) -> None:
    assert sentence(Trouble("turned away", "a.example", {"status": status})) == words


def test_a_trouble_with_its_place() -> None:
    entry = Trouble("repeat", facts={"earlier": "entry 1", "heading": "Wot"}, source="Lindmoor", place="entry 3")
    assert trouble_line(entry) == "Lindmoor, entry 3: repeats entry 1 and counts once"
    whole = Trouble("no entries", source="Lindmoor")
    assert trouble_line(whole) == "Lindmoor: holds no entries; stored lots are unchanged"


def test_only_what_happened() -> None:
    trouble = Trouble("no figure", facts={"field": "weight", "text": "{heavy}"})
    assert what(trouble) == "the weight `{heavy}` is not a number"
    assert sentence(trouble) == "the weight `{heavy}` is not a number; the lot is kept without its weight"
