"""What a catalogue and a person add to the word lists."""

from __future__ import annotations

from watchlist.core.reading.vocabulary.catalogued import Catalogued
from watchlist.core.reading.vocabulary.corrections import Correction
from watchlist.core.reading.vocabulary.tokens import tokens
from watchlist.core.reading.vocabulary.vocabulary import Vocabulary

TABLES = {
    "titles": {"en": {"number": {"half": 0.5}}},
    "coinages": {"country": {"SK": {"names": ["Skandia"], "mints": ["K"]}}, "unit": {"tor": {"alone": True}}},
    "grades": {"scale": {"us": {"vf": [20, 35]}}, "prefix": {"vf": [20, 35]}},
    "mints": {"SK": {"years": [1870, 1890], "units": ["tor"], "K": ["Karsk"]}},
}


def kinds(vocabulary: Vocabulary, text: str) -> set[tuple[str, str]]:
    found = vocabulary.lex.phrases.longest(tokens(text), 0)
    return {(sense.kind, sense.value) for sense in found[1]} if found else set()


def test_a_catalogue_names_its_countries_units_types_and_mints() -> None:
    known = Catalogued(
        denominations=["half skant", "5 tor"], types={"Galley": "5 tor"}, mints=["M", "Velden", ""],
        countries=["Orvany", "Skandia"], places={"mersa": "M"},
    )  # fmt: skip
    vocabulary = Vocabulary(TABLES, catalogued=known)
    assert kinds(vocabulary, "skants") == {("unit", "skant")}
    assert vocabulary.lex.units["skant"].known
    assert not vocabulary.lex.units["tor"].known
    assert kinds(vocabulary, "galley") == {("coin", "5 tor||type")}
    assert kinds(vocabulary, "Orvanian") == kinds(vocabulary, "Orvanyan") == {("country", "Orvany")}
    assert (vocabulary.country_code("Skandia"), vocabulary.country_names) == ("SK", {"SK": "Skandia"})
    assert (vocabulary.country_code("Nowhere"), vocabulary.country_code("")) == ("Nowhere", "")
    assert vocabulary.mints == {"M", "Velden"}
    named = {kinds(vocabulary, name).pop()[1] for name in ("Veldener", "mersa", "Karsk")}
    assert {vocabulary.mint_names.known[value].mark for value in named} == {"Velden", "M", "K"}
    assert vocabulary.spelt["1/2 skant"] == "half skant"
    assert vocabulary.spelt["9 lind"] == "9 lind"


def test_the_name_of_a_mint_gives_its_mark_on_some_pieces() -> None:
    name = Vocabulary(TABLES).mint_names.known["SK|K"]
    assert name.fits("SK", 1880, "tor")
    assert name.fits("SK", None, "tor")
    assert not any((name.fits("SK", 1900, "tor"), name.fits("SK", 1880, "lind"), name.fits("NO", 1880, "tor")))


def test_what_is_taught_wins() -> None:
    taught = [
        Correction("Galley", "denomination", "5 tor"), Correction("fesch", "grade", "VF"),
        Correction("schnieke", "grade", "40-45"), Correction("unmeant", "grade", "no grade at all"),
        Correction("Velden", "mint", "V"), Correction("QCG", "service", "QCG"), Correction("vf", "problems", "holed"),
        Correction("odd", "no such field", "x"),
    ]  # fmt: skip
    vocabulary = Vocabulary(TABLES, ["HNS"], taught)
    assert kinds(vocabulary, "galley") == {("coin", "5 tor|")}
    assert vocabulary.lex.services == {"hns", "qcg"}
    assert kinds(vocabulary, "Velden") == {("mintname", "|V")}
    assert kinds(vocabulary, "vf") == {("problem", "holed")}
    grades = [vocabulary.grammar.at(tokens(word), 0) for word in ("schnieke", "fesch", "vf", "unmeant")]
    assert [(grade.low, grade.high) if grade else None for grade in grades] == [(40, 45), (20, 35), None, None]


def test_a_source_has_its_own_words_and_they_win() -> None:
    taught = [
        Correction("ship", "denomination", "5 tor", "north"), Correction("ship", "denomination", "1 tor"),
        Correction("boat", "denomination", "9 tor"),
    ]  # fmt: skip
    vocabulary = Vocabulary(TABLES, corrections=taught)
    north = vocabulary.at("north")
    assert kinds(vocabulary, "ship") == {("coin", "1 tor|")}
    assert kinds(north, "ship") == {("coin", "5 tor|")}
    assert kinds(north, "boat") == {("coin", "9 tor|")}
    assert vocabulary.at("north") is north
    assert vocabulary.at("") is vocabulary.at("wexby") is vocabulary
