"""A title cut up: marks of the word lists, what is taken, denied and doubted."""

from __future__ import annotations

from tests.core.reading.scanned import scan
from watchlist.core.reading.vocabulary.tokens import END


def test_marks_are_found_with_their_places_and_the_language_they_speak() -> None:
    scanned = scan("5 mark 1875 Randfehler")
    assert [(mark.start, mark.end, mark.value) for mark in scanned.by["unit"]] == [(1, 2, "mark")]
    assert scanned.has(3, "problem")
    assert scanned.has(3, "unit") is None
    assert scanned.votes.most_common(1)[0][0] == "de"


def test_a_compound_speaks_its_language_and_a_misspelt_word_is_marked() -> None:
    scanned = scan("Madonnentaler scrached")
    assert [mark.value for mark in scanned.kinds("problem", "unit")] == ["taler", "scratched"]
    assert scanned.votes["de"]


def test_tokens_past_either_end_are_empty() -> None:
    scanned = scan("5 tor")
    assert scanned.tok(-1) == scanned.tok(2) == scanned.tok(500) == END
    assert scanned.past(0, {"5", "tor"}) == 2


def test_taken_words_are_not_free_and_a_field_rests_on_its_words() -> None:
    scanned = scan("Orvany 5 tor 1889")
    scanned.take(-3, 2)
    assert (scanned.free(0, 1), scanned.free(2, 4)) == (False, True)
    scanned.rest("year", 3, 4, 0.95)
    scanned.rest("year", 4, 9, 1)
    assert [(span.text, span.start, span.confidence) for span in scanned.spans] == [("1889", 13, 0.95)]
    assert (scanned.words(1, 3), scanned.words(3, 3)) == ("5 tor", "")


def test_a_negation_reaches_in_one_breath() -> None:
    scanned = scan("not holed, cleaned, never, polished. holed? no")
    told = {(mark.start, mark.value) for mark in scanned.told("problem")}
    assert {value for _, value in told} == {"cleaned", "polished"}
    assert scan("never harshly cleaned").negated(2, 3)
    assert scan("Fehler frei").negated(0, 1) == scan("Fehler-frei").negated(0, 1)


def test_a_query_or_a_word_of_doubt_hedges() -> None:
    assert scan("1889 M?").hedged(1, 2)
    assert scan("1889 probably M").hedged(2, 3)
    assert not scan("probably old, 1889 M").hedged(4, 5)


def test_words_of_a_set_stand_anywhere() -> None:
    assert scan("tor 1889 silver").says("silver")
    assert not scan("tor 1889").says("silver")
