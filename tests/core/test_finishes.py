"""Proof, specimen and mint-set issues of a catalogue; types that denominations share; units without a number."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.core.orvany import TONGUES, issue
from watchlist.core.coins.catalogue import Catalogue
from watchlist.core.coins.issue import Issue
from watchlist.core.marks.record import Want
from watchlist.core.marks.wants import WantIndex, answer, why_not
from watchlist.core.reading.reader import Reader
from watchlist.core.reading.vocabulary.vocabulary import Vocabulary
from watchlist.words import load

PLAIN = issue(1901, type="Osmund")
PROOF = issue(1901, variety="Proof", type="Osmund")
SMALL = issue(1901, variety="Proof, small date", type="Osmund")
SPECIMEN = issue(1902, variety="Specimen strike", type="Osmund")
TYPED = replace(issue(1903, type="Mint set"), key="set-1903")
ISSUES: tuple[Issue, ...] = (
    PLAIN, PROOF, issue(1902, type="Osmund"), SPECIMEN, issue(1903, type="Osmund"), TYPED,
    *(issue(year, denomination="1 tor", type="Osmund") for year in range(1901, 1905)),
    *(issue(year, denomination="10 tor", type="Osmund") for year in range(1901, 1905)),
    *(issue(year, denomination=value, type="Swan") for year in (1911, 1912) for value in ("5 lind", "10 lind")),
)  # fmt: skip
CATALOGUE = Catalogue(ISSUES, TONGUES)
READER = Reader(Vocabulary(load(), ["QCG"], catalogued=CATALOGUE.catalogued))


def key(title: str, catalogue: Catalogue = CATALOGUE) -> str | None:
    found = catalogue.match(READER.read(title)).issue
    return found.key if found else None


@pytest.mark.parametrize(
    "said",
    ["Proof", "PP", "Polierte Platte", "fondo specchio", "flan bruni", "belle épreuve", "prueba numismática", "PF-65"],
)
def test_a_proof_is_the_proof_issue_in_any_language(said: str) -> None:
    assert key(f"Orvany 5 tor 1901 {said}") == PROOF.key
    assert key(f"Orvany 5 tor 1901, {said}, small date", Catalogue((*ISSUES, SMALL), TONGUES)) == SMALL.key
    assert key(f"Orvany 5 tor 1904 {said}") is None  # no such year at all


@pytest.mark.parametrize(
    ("title", "wanted"),
    [
        ("Orvany 5 tor 1901 VF", PLAIN.key),
        ("Orvany 5 tor 1901, not proof, VF", PLAIN.key),
        ("Orvany 5 tor 1902 specimen", SPECIMEN.key),
        ("Orvany 5 tor 1902, a lovely specimen, VF", "5tor-1902"),
        ("Orvany 5 tor 1902 a specimen in VF", "5tor-1902"),
        ("Orvany 5 tor 1903 from mint set", TYPED.key),
        ("Orvany 5 tor 1903 KMS", TYPED.key),
        ("Orvany 5 tor 1903 VF", "5tor-1903"),
        ("Orvany 1 tor 1903 proof", "1tor-1903"),
    ],
)
def test_a_finish_is_met_by_its_own_words_alone(title: str, wanted: str) -> None:
    assert key(title) == wanted


def test_a_specimen_may_be_said_behind_the_mint() -> None:
    struck = [replace(each, key=f"{each.key}-V", mint="V") for each in ISSUES]
    catalogue = Catalogue(struck, TONGUES)
    for title in ("Orvany 5 tor 1902-V specimen", "Orvany 5 tor 1902 V, specimen"):
        assert key(title, catalogue) == f"{SPECIMEN.key}-V"
    assert key("Orvany 5 tor 1902-V a specimen in VF", catalogue) == "5tor-1902-V"


def test_a_want_of_the_plain_issue_does_not_ask_for_the_proof() -> None:
    plain, proof = Want("w1", "Orvany", "5 tor", 1901, ""), Want("w2", "Orvany", "5 tor", 1901, "", "PP")
    wants = WantIndex([plain, proof], TONGUES)
    for title, asked in (("Orvany 5 tor 1901 PP", "w2"), ("Orvany 5 tor 1901 VF", "w1")):
        reading = READER.read(title)
        answers, _ = answer(reading, CATALOGUE.match(reading), wants)
        assert [want.id for want in answers] == [asked]
    assert "proof, you want the regular coin" in why_not(plain, READER.read("x"), PROOF, wants)


def test_the_proof_is_typed_and_corrected_by_its_words() -> None:
    for words in ("proof", "PP", "fondo specchio"):
        found = CATALOGUE.find_coin(f"Orvany 5 tor 1901 {words}").issue
        assert found is not None
        assert found.key == PROOF.key
    corrected = replace(READER.read("Orvany 5 tor 1901 VF"), variety="proof")
    assert CATALOGUE.match(corrected).issue == PROOF
    found = CATALOGUE.find_coin("Orvany 5 tor 1901").issue
    assert found == PLAIN


@pytest.mark.parametrize("title", ["Osmund 1901", "Orvany Osmund 1904", "Osmund tor 1901"])
def test_a_shared_type_never_decides_the_denomination(title: str) -> None:
    read = READER.read(title)
    found = CATALOGUE.match(read)
    if " tor" in title:
        assert found.issue is not None
        assert found.issue.denomination == "1 tor"
    else:
        assert read.denomination is None
        assert found.issue is None


def test_a_unit_without_its_number_names_what_it_may_be() -> None:
    found = CATALOGUE.match(READER.read("Orvany lind 1911 VF"))
    assert found.issue is None
    assert {each.denomination for each in found.candidates} == {"5 lind", "10 lind"}
    assert "how many lind" in found.why
