"""What sellers say of themselves and their pictures, in six languages, and ordinary words that say nothing of it.

`words_met.json`, written by hand: phrases a family (`talk`), and sentences of honest descriptions (`ordinary`).
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from tests.growth import IN_STEP, growth
from watchlist.core.lots.piece import weight_in
from watchlist.core.marks.signs import Signs, sentences_of, signs_from
from watchlist.words import load

MET: dict[str, Any] = json.loads((Path(__file__).parent.parent / "data" / "words_met.json").read_text("utf-8"))
SIGNS: Signs = signs_from(load("signs"))
FAMILIES = (*SIGNS.talk, *SIGNS.stock)


def heard(text: str) -> list[str]:
    return [family.id for family in FAMILIES if family.seen(sentences_of(text))]


@pytest.mark.parametrize("family", MET["talk"])
def test_talk_is_heard(family: str) -> None:
    assert [text for text in MET["talk"][family] if not heard(f"Nice piece. {text}. Thanks")] == []


def test_ordinary_sentences_are_no_talk() -> None:
    assert {text: ids for text in MET["ordinary"] if (ids := heard(text))} == {}


def test_no_phrase_reaches_into_the_next_sentence() -> None:
    assert heard("I am not sure if you saw it. A real beauty") == []
    assert heard("I am not sure if it is a real one") == ["not_sure"]


def test_a_long_description_takes_time_in_step_with_its_length() -> None:
    def seen(times: int) -> list[object]:
        text = sentences_of("not sure if if no no keine photo is " * times)
        return [family.seen(text) for family in FAMILIES]

    assert growth(seen, 150) < IN_STEP


@pytest.mark.parametrize(
    ("text", "grams"),
    [
        ("Weight: 385.8 grains", 24.999),  # 1 grain = 64.79891 mg
        ("weighs 385.8 grains (25.00 g)", 25.0),
        ("90 grains fine silver", None),
    ],
)
def test_a_weight_in_grains(text: str, grams: float | None) -> None:
    found = weight_in(text, load())
    assert (found and found[0]) == grams
