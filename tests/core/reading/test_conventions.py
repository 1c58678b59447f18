"""The conventions of a reading (docs/formats.md), line by line. Bands are those of watchlist/words/languages."""

from __future__ import annotations

from typing import Any

import pytest

from watchlist.core.reading.reader import Reader
from watchlist.core.reading.record import Reading
from watchlist.core.reading.vocabulary.catalogued import Catalogued
from watchlist.core.reading.vocabulary.vocabulary import Vocabulary
from watchlist.words import load

READER = Reader(
    Vocabulary(
        load(),
        ["QCG", "HNS"],
        catalogued=Catalogued(denominations=["10 lind", "1 tor", "5 tor"], countries=["Orvany"], mints=["M", "V", "S"]),
    )
)


def read(title: str) -> Reading:
    return READER.read(title)


def check(title: str, **fields: Any) -> None:
    reading = read(title)
    assert {name: getattr(reading, name) for name in fields} == fields


@pytest.mark.parametrize(
    ("grade", "low", "high", "plus"),
    [
        ("VF", 20, 35, False), ("ss", 20, 40, False), ("TTB", 35, 45, False), ("VF-30", 30, 30, False),
        ("Choice AU-55", 55, 55, False), ("MS-64+", 64, 64, True), ("AU 58+", 58, 58, True), ("VF+", 30, 35, False),
        ("BU MS65", 65, 65, False),
    ],
)  # fmt: skip
def test_a_word_is_its_band_and_a_number_beats_it(grade: str, low: int, high: int, plus: bool) -> None:
    reading = read(f"Orvany 1 tor 1889-S {grade}")
    assert (reading.grade_low, "PLUS" in reading.designations) == (low, plus)
    assert reading.grade_high == high
    if "+" in grade and not plus:
        assert 20 <= low <= high <= 35


@pytest.mark.parametrize(
    ("title", "low", "high"),
    [
        ("Orvany 1 tor 1889-S ss-vz", 40, 45), ("Orvany 1 tor 1889-S VF/XF", 35, 40),
        ("Great Britain florin 1849 VF/GF", 15, 30), ("Lot of 3 Orvany 1 tor F-VF", 12, 35),
        ("Orvany 1 tor 1889-S MS63-64", 63, 64),
    ],
)  # fmt: skip
def test_two_grades_are_the_borderline_or_both_bands(title: str, low: int, high: int) -> None:
    check(title, grade_low=low, grade_high=high)


@pytest.mark.parametrize(
    ("words", "service"),
    [
        ("VF-30 QCG", "QCG"), ("would grade QCG VF-30", None), ("not graded by QCG, VF-30", None),
        ("cracked out of QCG VF-30 holder", None), ("home-made holder QCG VF-30", None), ("XYZ VF-30", None),
        ("QCG-style slab VF-30", None),
    ],
)  # fmt: skip
def test_certified_only_while_a_known_service_holds_it(words: str, service: str | None) -> None:
    check(f"Orvany 1 tor 1889-S {words}", service=service, certified=service is not None)


@pytest.mark.parametrize("word", ["proof", "PP", "Polierte Platte", "fondo specchio", "PR-66", "Proof 66"])
def test_proof_in_any_language(word: str) -> None:
    reading = read(f"5 mark 1901 A {word}" if word.startswith("P") else f"1 lira 1901 R {word}")
    assert "PROOF" in reading.designations
    assert (reading.grade_low, reading.grade_high) in {(None, None), (60, 70), (66, 66)}


@pytest.mark.parametrize(
    ("words", "wanted"),
    [
        ("PR-66 deep cameo", "DCAM"), ("MS-64 DPL", "DMPL"),
        ("MS-64 deep mirror prooflike", "DMPL"), ("MS-64 PL", "PL"), ("PR-66 cameo", "CAM"), ("MS-64 FBL", "FBL"),
        ("MS-64 full bands", "FB"), ("MS-64 full head", "FH"),
    ],
)  # fmt: skip
def test_short_forms_and_words_of_a_designation_count_alike(words: str, wanted: str) -> None:
    assert wanted in read(f"USA dollar 1889-S {words}").designations


@pytest.mark.parametrize(
    ("words", "wanted"),
    [("MS-64 red/brown", ("RB",)), ("MS-64 RB", ("RB",)), ("MS-64 RD", ("RD",)), ("MS-64 BN", ("BN",)),
     ("BU 90% lustre", ()), ("UNC full lustre", ())],
)  # fmt: skip
def test_colours_of_copper_and_lustre_is_none(words: str, wanted: tuple[str, ...]) -> None:
    check(f"USA cent 1889 {words}", designations=wanted)


@pytest.mark.parametrize(
    ("title", "year"),
    [
        ("USA dime 1942/1 VF", 1942), ("1 yen Meiji 3", 1870), ("1 yen Taisho 3", 1914), ("1 yen Showa 39", 1964),
        ("500 yen Heisei 2", 1990), ("China dollar Year 3", 1914), ("Thailand 1 baht BE 2505", 1962),
        ("Israel 1 lirot JE 5708", 1948), ("Egypt 20 qirsh AH 1327 1913", 1913), ("Orvany 1 tor 1890-1895", None),
        ("Trajan denarius 98-117 AD", None), ("Hadrian denarius AD 134", 134), ("Athens tetradrachm 440 BC", None),
        ("Orvany 1 tor 1866-69", None),
    ],
)  # fmt: skip
def test_the_year_is_the_western_one_of_the_final_date(title: str, year: int | None) -> None:
    check(title, year=year)


def test_a_hijri_year_alone_is_the_year_it_began_or_none() -> None:
    assert read("Morocco 10 dirhams AH 1321").year in (1903, None)


@pytest.mark.parametrize(
    ("title", "mint"),
    [
        ("Orvany 1 tor 1889-S", "S"), ("Orvany 1 tor 1889 VF S mint", "S"), ("Orvany 1 tor 1889 Sund VF", None),
        ("Orvany 1 tor 1889 VF", None), ("USA cent 1909-S VDB VF", "S"), ("USA dime 1889 O/S VF", "O"),
        ("1900-O/CC dollar VF", "O"), ("8 reales 1834 Zs OM VF", "Zs"),
    ],
)  # fmt: skip
def test_the_mint_is_the_letter_given_as_its_mark(title: str, mint: str | None) -> None:
    check(title, mint=mint)


@pytest.mark.parametrize(
    ("title", "wanted"),
    [
        ("Orvany medal 1902 bronze", None), ("Orvany token 1902 brass", None), ("1 oz silver bar 999", None),
        ("Orvany mint set 1902", "set"), ("Gouden tientje 1925", "10 gulden"), ("duro 1885 MBC", "5 pesetas"),
        ("rijksdaalder 1872", "2.5 gulden"), ("sixpence 1893", "6 pence"), ("half dollar 1889", "half dollar"),
        ("1/2 dollar 1889", "half dollar"), ("½ dollar 1889", "half dollar"), ("5 tor 1889", "5 tor"),
        ("five tors 1889", "5 tor"), ("2 1/2 gulden 1872", "2.5 gulden"), ("2,5 gulden 1872", "2.5 gulden"),
    ],
)  # fmt: skip
def test_denominations(title: str, wanted: str | None) -> None:
    check(title, denomination=wanted)


PROBLEMS = {
    "cleaned": ["cleaned", "whizzed", "brushed", "dipped", "gereinigt", "nettoyée"],
    "scratched": ["graffiti", "scratched", "Kratzer"],
    "holed": ["plugged", "holed", "gelocht"],
    "mounted": ["ex mount", "loop", "solder", "brooch", "Henkelspur"],
    "repaired": ["tooled", "smoothed", "repaired"],
    "env_damage": ["corroded", "porous", "pitted", "verdigris", "PVC"],
    "rim_damage": ["edge knock", "rim nick", "Randfehler"],
    "altered": ["added mint mark", "altered date", "altered surfaces", "replated"],
    "damaged": ["test cut", "engraved"],
    "clipped": ["clipped"], "bent": ["bent"], "stained": ["stained"], "polished": ["polished"],
    "toning": ["artificial toning"], "chopmarked": ["chopmarked"],
}  # fmt: skip


@pytest.mark.parametrize(("wanted", "word"), [(kind, word) for kind, words in PROBLEMS.items() for word in words])
def test_problem_words_belong_so(wanted: str, word: str) -> None:
    assert read(f"Orvany 1 tor 1889-S VF, {word}").problems == (wanted,)


@pytest.mark.parametrize(
    "words", ["adjustment marks", "natural toning", "mint error", "never cleaned", "no scratches", "not holed"]
)
def test_what_is_no_problem(words: str) -> None:
    check(f"Orvany 1 tor 1889-S VF, {words}", problems=())


def test_details_stand_where_no_fault_is_named_and_do_no_harm_beside_one() -> None:
    check("Orvany 1 tor 1889-S VF details QCG", problems=("details",), grade_low=20, grade_high=35)
    assert read("Orvany 1 tor 1889-S VF details, holed").problems[0] == "holed"


@pytest.mark.parametrize("word", ["counterfeit", "official restrike", "restrike"])
def test_counterfeit_and_restrike_are_no_problems(word: str) -> None:
    check(f"Orvany 1 tor 1889-S {word}", problems=())


@pytest.mark.parametrize(
    ("words", "wanted"),
    [
        ("copy", True), ("contemporary counterfeit", True), ("Nachprägung privat Kopie", True), ("replica", True),
        ("official restrike", False), ("not a copy", False), ("no fake", False),
    ],
)  # fmt: skip
def test_replica(words: str, wanted: bool) -> None:
    check(f"Orvany 1 tor 1889-S XF {words}", replica=wanted)


def test_a_private_round_in_an_old_design_is_a_replica() -> None:
    assert read("1 oz .999 silver round Stag design 1889").replica


@pytest.mark.parametrize(
    ("title", "wanted"),
    [
        ("Orvany mint set 1902", True), ("Roll of 40 Orvany 10 lind 1918", True), ("pair of Orvany 1 tor 1889", True),
        ("5 lbs foreign coins", True), ("Lot 412 Orvany 1 tor 1889", False), ("Orvany 1 tor 1889 from a set", False),
    ],
)  # fmt: skip
def test_multiple(title: str, wanted: bool) -> None:
    check(title, multiple=wanted)


def test_finer_problem_words_stand_beside_the_vocabulary() -> None:
    check("Orvany 1 tor 1889-S VF whizzed", problem_words=("whizzed",), problems=("cleaned",))
