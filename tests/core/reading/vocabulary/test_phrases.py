"""Phrases looked up over tokens: the longest wins, and signs may stand between the words."""

from __future__ import annotations

import pytest

from watchlist.core.reading.vocabulary.phrases import Phrases
from watchlist.core.reading.vocabulary.tokens import phrase, spellings, tokens


def tree(*texts: str) -> Phrases[str]:
    made: Phrases[str] = Phrases()
    for text in texts:
        made.put(phrase(text), text)
    return made


@pytest.mark.parametrize(
    ("title", "found"),
    [
        ("half tor 1889", (2, ["half tor"])),
        ("half 1889", (1, ["half"])),
        ("half-tor", (3, ["half tor"])),
        ("kl. Randfehler", (3, ["kl Randfehler"])),
        ("kl. - Randfehler", (4, ["kl Randfehler"])),
        ("kl. - . Randfehler", None),
        ("tiefer. Randfehler", None),  # a long word's full stop ends a sentence
        ("kl, Randfehler", None),
        ("tor", None),
    ],
)
def test_the_longest_phrase_counts(title: str, found: tuple[int, list[str]] | None) -> None:
    assert tree("half", "half tor", "kl Randfehler", "tiefer Randfehler").longest(tokens(title), 0) == found


def test_a_phrase_taken_away_leaves_longer_ones_and_what_is_kept() -> None:
    made = tree("half", "half tor")
    made.put(("half",), "a vote")
    made.drop(("half",), lambda meaning: meaning == "a vote")
    made.drop(("never", "there"))
    assert made.longest(tokens("half lind"), 0) == (1, ["a vote"])
    assert made.longest(tokens("half tor"), 0) == (2, ["half tor"])


def test_umlauts_are_written_both_ways() -> None:
    assert spellings("schöner Tor") == (("schoner", "tor"), ("schoener", "tor"))
