"""The reader rule by rule, on invented titles of an invented country."""

from __future__ import annotations

import json
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from watchlist.core.reading.asjson import from_json, to_json
from watchlist.core.reading.reader import Reader
from watchlist.core.reading.record import Reading
from watchlist.core.reading.vocabulary.catalogued import Catalogued
from watchlist.core.reading.vocabulary.corrections import Correction
from watchlist.core.reading.vocabulary.vocabulary import Vocabulary
from watchlist.words import load

KNOWN = Catalogued(
    denominations=["10 lind", "1 tor", "5 tor"],
    types={"Galley": "5 tor", "Stag": "1 tor", "Shield": "10 lind"},
    mints=["M", "V", "S"],
    countries=["Orvany"],
)
READER = Reader(Vocabulary(load(), ["QCG", "HNS"], catalogued=KNOWN))


def read(title: str) -> Reading:
    return READER.read(title)


@pytest.mark.parametrize(
    ("title", "fields"),
    [
        ("Orvany 1 tor 1889-S VF20 QCG", {"country": "Orvany", "denomination": "1 tor", "year": 1889, "mint": "S",
                                          "grade_low": 20, "grade_high": 20, "certified": True, "service": "QCG"}),
        ("1889s 1 TOR orvanian vf-20", {"mint": "S", "country": "Orvany", "certified": False}),
        ("Orvanian five tor 1899 M MS63+ PL QCG pop 6/2", {"denomination": "5 tor", "designations": ("PL", "PLUS")}),
        ("Galley 1893-M, AU", {"denomination": "5 tor", "mint": "M"}),
        ("5 Tor 1892/1-V, ss, Randfehler", {"year": 1892, "mint": "V", "variety": "overdate 2/1",
                                            "problems": ("rim_damage",)}),
        ("Roll of 40 Orvany 10 lind 1918 V BU", {"multiple": True, "quantity": 40, "denomination": "10 lind"}),
        ("ORVANY, 5 tor, 1905, S, in HNS holder: MS 61", {"mint": "S", "grade_low": 61}),
        ("1887 Orvany 5 tor M - graded XF 45", {"mint": "M", "grade_low": 45}),
        ("1 tor V 1893 Orvany", {"mint": "V", "year": 1893}),
        ("Crown 1893, F", {"mint": None, "grade_low": 12}),
        ("5 Fr. 1931 B ss", {"year": 1931, "mint": "B"}),
        ("3 x 5 francs Suisse : 1931 B, 1932 B et 1935 B", {"years": (1931, 1932, 1935)}),
        ("Sixpence 1575 mm eglantine VF", {"year": 1575}),
        ("demi-écu 1711 A aux trois couronnes", {"denomination": "half ecu"}),
        ("5F Hercule 1877 K, rayures au droit", {"grade_low": None}),
        ("*** 1900 (sorry, first listing said 1909) penny", {"year": 1900, "multiple": False}),
        ("5 lire 1861 M (errata corrige: 1861, non 1867)", {"year": 1861}),
        ("1 koruna 1922 (ne 1923, překlep)", {"year": 1922}),
        ("1865 three cent, nickel, poor-1 lowball set candidate", {"multiple": False}),
        ("Gold sov 1880 in 9ct mount", {"denomination": "sovereign"}),
        ("Half crown 1915 - holder cracked but coin perfect, HNS MS 64", {"service": "HNS", "certified": True}),
        ("Great Britain 3 pence 1893 toned QCG MS66 Q4471", {"cert_number": "Q4471"}),
        ("Hong Kong? no, Canada: 1 cent 1907 H", {"country": "CA", "mint": "H"}),
        ("Australian penny 1930? No: clearly 1931, VG-10", {"year": 1931, "multiple": False}),
        ("2 marki 1906 A Prusy", {"denomination": "2 mark", "country": "DE"}),
        ("EE.UU. 1 centavo 1900 cabeza de indio", {"country": "US", "denomination": "cent"}),
        ("Media corona 1817 Gran Bretaña pulida", {"denomination": "half crown"}),
        ("1919 Standing Liberty quarter, extremly fine", {"grade_low": 40}),
        ("1901 S Liberty Head quarter 25¢ grade: About Good 3", {"country": "US", "denomination": "quarter dollar"}),
        ("Shillings x 6 George VI", {"multiple": True, "quantity": 6}),
        ("8 reales 1821 Zs RG. Holed and plugged? Neither. Chopmarks none.", {"problems": ()}),
        ("Florin 1902 in a broken HNS holder", {"problems": ()}),
        ("Florin 1902. Environmental damage noted on the HNS label", {"problems": ("env_damage",)}),
        ("Crown 1893 with graffiti, a neat letter F", {"grade_low": None}),
        ("Preussen 2 Mark Jahrgang 1888 A", {"year": 1888, "mint": "A"}),
        ("2 x Orvany 1 Tor (1890 M und 1896 M)", {"year": None, "years": (1890, 1896)}),
        ("Portugal - 1 escudo de 1916, com estojo de 1950", {"year": 1916}),
        ("Ten shilling note, 1960s", {"mint": None}),
        ("2 Francs Semeuse 1914 C rare - SUP 58", {"grade_low": 58, "grade_high": 58}),
        ("TTB 40 francs 1811 A", {"grade_low": 35, "denomination": "40 francs"}),
        ("VF 20 francs 1907", {"grade_low": 20, "denomination": "20 francs"}),
        ("1900 Lafayette silver dollar MS62 -- correction: MS61, sorry", {"grade_low": 61}),
        ("1916 Liberty Head quarter, Philadelphia", {"mint": None}),
        ("1982 half dollar Philadelphia", {"mint": "P"}),
        ("Chinese silver, chopped US trade dollar 1877-S", {"country": "US"}),
        ("Ned. zilveren gulden 1956 Juliana, krassen op vz.", {"grade_low": None}),
        ("50 cent. 1920 R leoni Regno d'Italia", {"denomination": "50 centesimi"}),
        ("50 cent 2002 Italia", {"denomination": "50 cent"}),
        ("George II shilling 1745 LIMA VF", {"country": "GB", "mint": None}),
        ("8 reales 1745 Lima V", {"country": "PE"}),
        ("10 cent 1894 B/I q.BB", {"country": "IT", "mint": "B", "denomination": "10 centesimi"}),
        ("10 c. 1862 rara BB", {"country": "IT", "denomination": "10 centesimi"}),
        ("Lot 1902 Orvany 5 tor 1893-V VF", {"multiple": False, "year": 1893, "years": ()}),
        ("LOT 412: Orvany 10 Lind 1889, VG", {"multiple": False, "year": 1889, "grade_low": 8}),
        ("Orvany 1 tor 1889-S COPY", {"replica": True, "grade_low": None}),
        ("Orvany 1 tor 1889-S not a copy, XF", {"replica": False, "grade_low": 40}),
        ("Orvany 1 tor 1889 no S, XF", {"mint": None, "denied_mints": ("S",)}),
        ("Orvany 1 tor 1890 V, never cleaned", {"problems": ()}),
        ("Orvany 1 tor 1890 V, cleaned, holed", {"problems": ("cleaned", "holed")}),
        ("Orvany 1 tor 1890 V would grade QCG MS63", {"certified": False, "service": None}),
        ("Orvany 1 tor 1890 cracked out of QCG XF40 holder", {"certified": False, "service": None}),
        ("Orvany 1 tor 1890 QCG-style slab XF40", {"certified": False}),
        ("Orvany 1 tor 1890 V XF Details QCG cert Q771-3379", {"problems": ("details",), "cert_number": "Q771-3379"}),
        ("Orvany 5 tor 1890, 1891, 1893", {"year": None, "years": (1890, 1891, 1893), "multiple": True}),
        ("Orvany 5 tor album 1890-1895, 12 pcs", {"year": None, "years": tuple(range(1890, 1896)), "quantity": 12}),
        ("Orvany 1 tor 1889 pre-1900 silver", {"year": 1889}),
        ("Orvany medal 1902 bronze XF", {"denomination": None, "kind": "medal", "year": 1902}),
        ("🔥🔥 1889-S 1 TOR 💰 GEM BU 🔥🔥 NO RESERVE", {"denomination": "1 tor", "grade_low": 65, "mint": "S"}),
    ],
)  # fmt: skip
def test_a_title(title: str, fields: dict[str, Any]) -> None:
    reading = read(title)
    assert {name: getattr(reading, name) for name in fields} == fields


def test_an_unknown_code_by_a_grade_is_kept_as_another_reading() -> None:
    reading = read("Orvany 5 tor 1893-M XYZ MS63")
    assert (reading.certified, reading.service) == (False, None)
    assert ("service", "XYZ") in reading.alternatives
    assert "service" in reading.unsure


@pytest.mark.parametrize(
    ("title", "field"),
    [
        ("Orvany 1 tor 1889-S (looks like V) VG", "mint"),
        ("Orvany 1 tor 1889 S, evtl. Henkelspur", "problems"),
        ("Orvany 1 tor 1889-S VF?", "grade"),
        ("Orvany 1 tor 1889 (1890) VF", "year"),
    ],
)
def test_where_the_title_is_not_sure_it_says_so(title: str, field: str) -> None:
    reading = read(title)
    assert field in reading.unsure
    assert reading.confidence < read("Orvany 1 tor 1889-S VF-20").confidence


def test_columns_and_description_fill_only_what_the_title_leaves_open() -> None:
    fields = {"grade": "VF-30", "year": "1893-M", "denomination": "5 Tor"}
    reading = READER.read("Orvany silver piece", "harshly cleaned, QCG Q123-4567", fields)
    assert (reading.denomination, reading.year, reading.mint, reading.grade_low) == ("5 tor", 1893, "M", 30)
    assert reading.problems == ("cleaned",)
    assert reading.service == "QCG"
    title = READER.read("Orvany 1 tor 1889 VF", "", fields)
    assert (title.denomination, title.year, title.grade_low) == ("1 tor", 1889, 20)


def test_copy_words_count_in_the_description_too() -> None:
    assert READER.read("Orvany 1 tor 1889-S XF", "a museum copy").replica


@pytest.mark.parametrize(
    ("text", "country", "wanted"),
    [
        ("10c", "US", "dime"), ("$1", "US", "dollar"), ("$2.50", "", "2.5 dollar"), ("5 Tor", "Orvany", "5 tor"),
        ("half dime", "US", "half dime"), ("2½ gulden", "NL", "2.5 gulden"), ("8 reales", "MX", "8 reales"),
        ("1 tor", "", "1 tor"), ("Tor", "", "1 tor"), ("penny", "GB", "penny"), ("1/2 dollar", "US", "half dollar"),
        ("duro", "ES", "5 pesetas"), ("sixpence", "GB", "6 pence"), ("tientje", "NL", "10 gulden"),
        ("5 DM", "DE", "5 mark"), ("quarter", "US", "quarter dollar"),
    ],
)  # fmt: skip
def test_denominations_have_one_form(text: str, country: str, wanted: str) -> None:
    assert READER.canonical_denomination(text, country) == wanted


@pytest.mark.parametrize(
    ("title", "year"),
    [
        ("Japan 1 yen Meiji 3", 1870), ("Japan 1 yen Showa 39", 1964), ("China dollar Year 3", 1914),
        ("Egypt 20 qirsh AH1327/H 1913", 1913), ("Thailand 1 baht BE 2505", 1962), ("Israel 1 lirot JE 5708", 1948),
        ("Morocco 10 dirhams AH 1321", 1903), ("Trajan denarius 98-117 AD", None),
    ],
)  # fmt: skip
def test_years_of_other_eras_are_converted(title: str, year: int | None) -> None:
    assert read(title).year == year


def test_a_word_is_added_by_editing_a_table() -> None:
    tables = dict(load())
    added = {"problem": {"cleaned": ["blitzblank"]}, "replica": {"words": ["abklatsch"]}}
    tables["titles"] = {**tables["titles"], "zz": added}
    reader = Reader(Vocabulary(tables, ["QCG"], catalogued=KNOWN))
    assert reader.read("Orvany 1 tor 1889 blitzblank").problems == ("cleaned",)
    assert reader.read("Orvany 1 tor 1889 abklatsch").replica


def test_a_correction_acts_like_a_word_of_the_lexicon() -> None:
    taught = [Correction("big ship", "denomination", "5 tor"), Correction("rubbed down", "problems", "polished")]
    reader = Reader(Vocabulary(load(), ["QCG"], taught, catalogued=KNOWN))
    reading = reader.read("Big Ship 1893-M VF rubbed down")
    assert (reading.denomination, reading.problems) == ("5 tor", ("polished",))
    assert read("Big Ship 1893-M VF rubbed down").denomination is None


def test_a_correction_of_one_source_holds_there_only() -> None:
    taught = [Correction("ship", "denomination", "5 tor", source="lindmoor")]
    reader = Reader(Vocabulary(load(), [], taught, catalogued=KNOWN))
    assert reader.read("Ship 1893-M", source="lindmoor").denomination == "5 tor"
    assert reader.read("Ship 1893-M", source="wexby").denomination is None


def test_json_and_back() -> None:
    reading = read("Orvany 1 tor 1889-S VF Details, cleaned (QCG) cert Q123-4567")
    assert from_json(json.loads(json.dumps(to_json(reading)))) == reading


WORDS = st.sampled_from(
    ["1889", "1889-S", "5", "tor", "$", "1", "10c", "half", "dollar", "MS-65", "VF", "ss", "vz-st", "TB+/TTB", "not",
     "never", "cleaned", "COPY", "lot", "of", "roll", "(2)", "x10", "/", "-", ".", ",", "?", "!", "QCG", "Meiji", "AH",
     "1327", "BC", "AD", "98-117", "cert", "#", "Q123-4567", "1/2", "½", "proof", "01", "kv.", "B", "S", "D/S", "Mo",
     "🔥", "\u202e", "\ud800", "\x1b[31m", "1942/1", "1866-69", "g", "oz", "%"]
)  # fmt: skip


@given(st.one_of(st.text(max_size=120), st.lists(WORDS, max_size=14).map(" ".join)))
@settings(max_examples=60, deadline=None)
def test_any_text_is_read_and_spans_lie_inside_it(text: str) -> None:
    reading = read(text)
    assert reading.title == text
    for span in reading.spans:
        assert 0 <= span.start < span.end <= len(text)
        assert text[span.start : span.end] == span.text
        assert 0 <= span.confidence <= 1
    if reading.grade_low is not None and reading.grade_high is not None:
        assert 1 <= reading.grade_low <= reading.grade_high <= 70
    assert READER.read(text, text, {"grade": text, "year": text, "denomination": text}).title == text


PARTS = st.tuples(
    st.sampled_from(["1 tor", "5 tor", "10 lind"]), st.integers(1880, 1920), st.sampled_from(["", "-M", "-V", "-S"]),
    st.sampled_from(["VF-20", "AU-55", "MS-63", "VG-8"]), st.sampled_from(["", "QCG"]),
    st.sampled_from(["", "cleaned", "holed"]),
)  # fmt: skip


@given(PARTS)
@settings(max_examples=50, deadline=None)
def test_a_reading_is_the_same_on_its_own_words(parts: tuple[str, int, str, str, str, str]) -> None:
    value, year, mint, grade, service, problem = parts
    first = read(f"Orvany {value} {year}{mint} {grade} {service} {problem}")
    words = " ".join(
        filter(None, (first.country, first.denomination, f"{first.year}{'-' + first.mint if first.mint else ''}",
                      first.grade_text, first.service, *first.problem_words))
    )  # fmt: skip
    again = read(words)
    for name in ("country", "denomination", "year", "mint", "grade_low", "grade_high", "service", "problems"):
        assert getattr(again, name) == getattr(first, name)


@pytest.mark.parametrize(
    "piece", ["a", "1/", "not ", "VF-", "(1890) ", "cert 1234567 ", "possible cleaned ", "scrached "]
)
def test_a_title_of_a_hundred_thousand_letters_is_read_all_the_same(piece: str) -> None:
    text = piece * (100_000 // len(piece))
    assert all(span.end <= len(text) for span in read(text).spans)


def test_a_misspelt_word_is_taken_for_the_one_it_is_near_to() -> None:
    assert read("1926 dime VF scrached").problems == ("scratched",)
    assert read("1932-S QUATER XF").denomination == "quarter dollar"


def test_a_word_taught_as_a_grade_counts() -> None:
    taught = Reader(
        Vocabulary(load(), (), [Correction("schnieke", "grade", "40-45"), Correction("fesch", "grade", "VF")])
    )
    reading = taught.read("5 mark 1900 A schnieke")
    assert (reading.grade_low, reading.grade_high) == (40, 45)
    assert taught.read("5 mark 1900 A fesch").grade_low == 20


def test_a_column_names_the_service() -> None:
    reader = Reader(Vocabulary(load(), ["QCG"]))
    assert reader.read("5 mark 1900 A", "", {"service": "QCG", "grade": "MS 63"}).certified
    assert not reader.read("5 mark 1900 A", "", {"service": "none"}).certified
    assert not reader.read("5 mark 1900 A", "", {"service": "XYZ"}).certified


def test_a_copy_of_a_paper_is_no_copy_of_the_piece() -> None:
    reader = Reader(Vocabulary(load()))
    assert not reader.read("5 mark 1900 A ss", "Beiliegend: Kopie der Rechnung").replica
    assert not reader.read("Dime 1921-D VF, copy of the old invoice included").replica
    assert reader.read("Dime 1921-D VF, copy").replica


def test_a_half_of_an_unknown_unit_is_not_half_a_dollar() -> None:
    reader = Reader(Vocabulary(load(), catalogued=Catalogued(denominations=["1/2 mark", "half tor"])))
    assert reader.canonical_denomination("Half Mark", "Brevonia") == "1/2 mark"
    assert reader.canonical_denomination("half tor", "Brevonia") == "half tor"
