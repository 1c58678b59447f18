"""Word lists to senses: sections of a language, coinages, and what a person teaches."""

from __future__ import annotations

from typing import Any

from watchlist.core.reading.vocabulary.lexicon import Lexicon
from watchlist.core.reading.vocabulary.strangewords import Sense
from watchlist.core.reading.vocabulary.tokens import tokens

TABLES: dict[str, Any] = {
    "titles": {
        "qa": {
            "problem": {"cleaned": ["putzig"]}, "replica": {"words": ["nachguss"]}, "vote": ["und"],
            "number": {"zwo": 2}, "ending": {"unit": {"tor": ["tör"]}}, "compound": {"doppel": 2.0},
        },
        "qb": {"voice": "qa", "problem": {"holed": ["lochig"]}},
    },
    "coinages": {
        "country": {"ORV": {"names": ["Great Orvany"], "mints": ["M", "V"]}},
        "unit": {"tor": {"many": "tor", "words": ["tors"], "alone": True}, "skant": {"value": ["x", "0.1"]}},
        "coin": {"5 tor": {"words": ["galley"], "country": "ORV"}},
        "reference": {"words": ["KM"]},
        "era": {"add": {"orvanic": 620}, "hijri": ["AH"]},
    },
    "care": {"silver": ["Silver", "argént"], "no_vote": ["und"]},
    "grades": {"prefix": {"MS": [60, 70]}, "scale": {"qa": {"gut": [4, 6, "recht gut"]}, "us": {"fine": [12, 15]}}},
}  # fmt: skip


def senses(lexicon: Lexicon, text: str) -> list[Sense]:
    found = lexicon.phrases.longest(tokens(text), 0)
    return found[1] if found else []


def test_each_list_becomes_words_of_its_kind() -> None:
    lexicon = Lexicon(TABLES)
    assert senses(lexicon, "putzig") == [Sense("problem", "cleaned", "qa")]
    assert senses(lexicon, "lochig") == [Sense("problem", "holed", "qa")]  # few words speak for another language
    assert senses(lexicon, "nachguss") == [Sense("replica.words", "words", "qa")]
    assert senses(lexicon, "zwo") == [Sense("number", "2", "")]
    assert senses(lexicon, "galley") == [Sense("coin", "5 tor|ORV", "")]
    assert senses(lexicon, "km") == [Sense("ref.words", "words", "")]
    assert senses(lexicon, "orvanic") == [Sense("era", "620", "")]
    assert senses(lexicon, "ah") == [Sense("era", "hijri", "")]
    assert senses(lexicon, "greatorvany") == senses(lexicon, "Great Orvany") == [Sense("country", "ORV", "")]
    assert (lexicon.compound, lexicon.dollars) == ({"doppel": 2.0}, {"skant": 0.1})
    assert lexicon.mints["ORV"] == {"M", "V"}
    assert list(lexicon.strange.senses["silbertor"]) == [Sense("unit", "tor", "qa")]


def test_words_of_care_are_folded_and_missing_sets_are_empty() -> None:
    lexicon = Lexicon(TABLES)
    assert lexicon.sets["silver"] == {"silver", "argent"}
    assert lexicon.sets["never heard of"] == frozenset()
    assert {"silver", "km"} <= lexicon.cared


def test_a_grade_word_of_one_scale_speaks_for_its_language() -> None:
    lexicon = Lexicon(TABLES)
    assert senses(lexicon, "gut") == [Sense("vote", "", "qa")]
    assert senses(lexicon, "fine") == []
    assert {"recht", "gut", "fine", "MS"} <= lexicon.grade_parts


def test_a_taught_word_stands_alone_but_keeps_its_language() -> None:
    lexicon = Lexicon(TABLES)
    lexicon.add("vote", "", ["putzig"], "qa")
    lexicon.teach("designation", "RARE", "putzig")
    assert senses(lexicon, "putzig") == [Sense("vote", "", "qa"), Sense("designation", "RARE", "")]
    lexicon.forget("galley")
    assert senses(lexicon, "galley") == []


def test_a_unit_of_the_catalogue_is_known_by_its_plurals() -> None:
    lexicon = Lexicon(TABLES)
    lexicon.add_unit("krona")
    assert lexicon.units["krona"].known
    assert {sense.value for text in ("krona", "kronor", "kronas", "krone") for sense in senses(lexicon, text)} == {
        "krona"
    }
    lexicon.add_unit("tor")
    assert not lexicon.units["tor"].known
