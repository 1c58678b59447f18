"""Words that no list has: compounds and slips of the pen."""

from __future__ import annotations

import pytest

from watchlist.core.reading.vocabulary.phrases import Phrases
from watchlist.core.reading.vocabulary.strangewords import Sense, StrangeWords

TALER = Sense("unit", "taler", "de")
SCRATCHED = Sense("problem", "scratched", "en")
STATER = Sense("unit", "stater", "")
COUNTRY = Sense("country", "ORV", "")


def strange() -> tuple[StrangeWords, Phrases[Sense]]:
    phrases: Phrases[Sense] = Phrases()
    for word, sense in (("scratched", SCRATCHED), ("stater", STATER), ("orvanian", COUNTRY)):
        phrases.put((word,), sense)
    return StrangeWords(phrases, {"taler": TALER}, frozenset(("staters",))), phrases


@pytest.mark.parametrize(
    ("word", "sense"),
    [
        ("madonnentaler", TALER),
        ("xtaler", None),  # too short for a compound
        ("scrached", SCRATCHED),  # a letter less
        ("scrratched", SCRATCHED),  # one more
        ("scrotched", SCRATCHED),  # another
        ("scracthed", SCRATCHED),  # two swapped
        ("scrcahted", None),
        ("states", None),  # another ending is another word
        ("staters", None),  # a grade word is no slip
        ("orvanyan", None),  # names of countries are not guessed
        ("cratched", None),  # the first letters agree
    ],
)
def test_what_a_strange_word_may_be(word: str, sense: Sense | None) -> None:
    assert list(strange()[0].senses[word]) == ([sense] if sense else [])


def test_a_new_word_is_met_when_the_lists_have_changed() -> None:
    words, phrases = strange()
    assert not words.senses["polishd"]
    phrases.put(("polished",), SCRATCHED)
    words.forget()
    assert words.senses["polishd"] == [SCRATCHED]
