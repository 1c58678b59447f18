"""A coinage no list knows, with a catalogue in another language: each title once misled the reader or the matching."""

from __future__ import annotations

import pytest

from tests.core.orvany import TONGUES
from watchlist.core.coins.catalogue import Catalogue
from watchlist.core.coins.issue import Issue
from watchlist.core.reading.reader import Reader
from watchlist.core.reading.vocabulary.catalogued import Catalogued
from watchlist.core.reading.vocabulary.corrections import Correction
from watchlist.core.reading.vocabulary.vocabulary import Vocabulary
from watchlist.words import load

WORDS = load()
ISSUES = [
    *(Issue(f"K{year}", "Orvany", "5 kron", year) for year in range(1884, 1893)),
    Issue("K1885V", "Orvany", "5 kron", 1885, "Velden"),
    Issue("K1886o", "Orvany", "5 kron", 1886, "", "Überprägung 1886/5"),
    Issue("K1889K", "Orvany", "5 kron", 1889, "K"),
    Issue("D1886", "Orvany", "ducat", 1886),
    Issue("D1886V", "Orvany", "ducat", 1886, "Velden"),
    Issue("D1890", "Orvany", "ducat", 1890),
    Issue("O1884", "Orvany", "50 ore", 1884),
    Issue("O1884K", "Orvany", "50 ore", 1884, "K"),
    Issue("O1884M", "Orvany", "50 ore", 1884, "M", note="geprägt in Mersa"),
    Issue("O1891g", "Orvany", "50 ore", 1891, "", "große Jahreszahl"),
    Issue("O1891k", "Orvany", "50 ore", 1891, "", "kleine Jahreszahl"),
]
CATALOGUE = Catalogue(ISSUES, TONGUES)


def reader(*taught: Correction) -> Reader:
    return Reader(
        Vocabulary(
            WORDS,
            ["QCG"],
            taught,
            catalogued=Catalogued(
                denominations=["5 kron", "ducat", "50 ore"],
                types={"Adler": "5 kron"},
                mints=["Velden", "K", "M"],
                countries=["Orvany"],
            ),
        )
    )


READER = reader()


def key_of(title: str) -> str | None:
    """The one issue a title means, with nothing left open."""
    found = CATALOGUE.match(READER.read(title))
    return found.issue.key if found.issue and len(found.candidates) <= 1 else None


@pytest.mark.parametrize(
    ("typed", "key"),
    [
        ("Orvany 1 dukat 1890", "D1890"),
        ("Orvany Dukat 1890", "D1890"),
        ("Orvany 1 Ducat 1890", "D1890"),
        ("Orvany 50 öre 1884-K", "O1884K"),
        ("50 ÖRE 1884 K", "O1884K"),
        ("Orvany 50 ore 1884-K", "O1884K"),
        ("Orvany 5 kronor 1889-K", "K1889K"),
        ("Orvany 5 Kronen 1889-K", "K1889K"),
        ("Orvany 5 kroner 1889-K", "K1889K"),
        ("Orvany 1 dukat 1886 Velden", "D1886V"),
        ("Orvany 1 dukat 1886-velden", "D1886V"),
        ("Orvany 1 dukat 1886 Mzst. Velden", "D1886V"),
        ("Orvany 50 öre 1884 Mersa", "O1884M"),
        ("Orvany 50 öre 1891 kleine Jahreszahl", "O1891k"),
        ("Orvany 50 öre 1891 small date", "O1891k"),
        ("Orvany 5 kron 1886/5", "K1886o"),
        ("Orvany 5 kron 1886 Überprägung 1886/5", "K1886o"),
    ],
)
def test_a_typed_coin_is_found_however_it_is_spelt(typed: str, key: str) -> None:
    found = CATALOGUE.find_coin(typed)
    assert found.issue is not None, found.note
    assert found.issue.key == key


def test_a_spelling_that_only_the_word_lists_know_is_found_with_their_help() -> None:
    assert CATALOGUE.find_coin("Orvany fünf Kronen 1889-K").issue is None
    found = CATALOGUE.find_coin("Orvany fünf Kronen 1889-K", READER.canonical_denomination)
    assert found.issue is not None
    assert found.issue.key == "K1889K"


@pytest.mark.parametrize("unit", ["kron", "Kron", "kronor", "Kronen", "kroner", "couronnes"])
def test_a_unit_in_another_tongue_is_the_catalogues(unit: str) -> None:
    assert key_of(f"Orvany 5 {unit} 1889 K, VF") == "K1889K"


@pytest.mark.parametrize(
    "words",
    ["1885 Velden", "1885-Velden", "1885, Velden", "1885 VELDEN", "1885 velden", "1885 (Velden)", "1885 Mzst. Velden",
     "1885 Münzstätte Velden", "1885 Prägestätte: Velden", "1885 atelier Velden", "1885 atelier de Velden",
     "1885 ceca de Velden", "1885 zecca di Velden", "1885 Velden mint", "1885 mint of Velden", "1885 Veldener Münze"],
)  # fmt: skip
def test_a_mint_by_name_is_read_in_every_form(words: str) -> None:
    assert key_of(f"Orvany 5 kron {words}, vz") == "K1885V"


@pytest.mark.parametrize(
    "words",
    ["Münzstätte Nurburg", "Mzst. Nurburg", "Nurburg mint", "atelier de Nurburg", "ceca Nurburg", "zecca di Nurburg",
     "mint of Nurburg", "geprägt in Nurburg", "struck at Nurburg"],
)  # fmt: skip
def test_a_mint_nobody_knows_is_not_the_main_mint(words: str) -> None:
    reading = READER.read(f"Orvany 1 dukat 1890 {words}, VF")
    assert "mint" in reading.unsure
    assert ("mint", "Nurburg") in reading.alternatives
    assert key_of(f"Orvany 1 dukat 1890 {words}, VF") is None
    assert "Nurburg" in CATALOGUE.match(reading).why


@pytest.mark.parametrize(
    "words",
    ["Royal mint", "original mint luster", "mint state", "Near Mint", "Mint Set piece", "Mzz. K", "no mint mark",
     "ohne Münzzeichen", "Zecca rara", "from the mint", "atelier A", "struck at an angle", "mint condition"],
)  # fmt: skip
def test_a_word_by_mint_is_not_always_a_place(words: str) -> None:
    reading = READER.read(f"Orvany 5 kron 1889 VF, {words}")
    assert "mint" not in reading.unsure
    assert not [value for name, value in reading.alternatives if name == "mint"]


def test_a_mint_by_name_counts_in_columns_and_descriptions() -> None:
    title = "Orvany 5 kron 1885, vz"
    assert READER.read(title, "", {"mint": "Velden"}).mint == "Velden"
    assert READER.read(title, "Münzstätte Velden. Feine Patina.").mint == "Velden"
    assert READER.read(title, "Struck at the Velden mint, 25 g.").mint == "Velden"
    assert READER.read(title, "From a collection formed in Velden.").mint is None
    assert READER.read(title, "", {"mint": "Nowhere known"}).mint is None


def test_a_mint_of_the_catalogues_notes_is_known() -> None:
    assert key_of("Orvany 50 öre 1884 Mersa mint, VF") == "O1884M"
    assert key_of("Orvany 50 öre 1884, geprägt in Mersa, ss") == "O1884M"


def test_a_mint_that_a_title_denies_is_not_taken() -> None:
    reading = READER.read("Orvany 5 kron 1885, nicht Velden, ss")
    assert (reading.mint, reading.denied_mints) == (None, ("Velden",))


def test_the_mint_mark_of_an_overdate_may_stand_before_the_word() -> None:
    reading = READER.read("Orvany 5 kron 1886-K over 1885, VF")
    assert (reading.year, reading.mint, reading.variety) == (1886, "K", "overdate 1886/1885")


@pytest.mark.parametrize("said", ["kleine Jahreszahl, ss+", "kl. Jahreszahl", "small date VF30", "lille årstal"])
def test_a_variety_is_compared_by_meaning(said: str) -> None:
    assert key_of(f"Orvany 50 öre 1891, {said}") == "O1891k"


def test_a_variety_of_large_figures_behind_the_year_costs_no_year() -> None:
    reading = READER.read("Orvany 50 öre 1891 gr. Jahreszahl, vz")
    assert (reading.year, reading.variety) == (1891, "large date")
    assert key_of("Orvany 50 öre 1891 große Jahreszahl, vz") == "O1891g"


@pytest.mark.parametrize("coin", ["50 öre 1889", "5 kron 1884", "1 dukat 1890", "5 Kron 1884 H."])
@pytest.mark.parametrize("grade", ["f.st", "f. st.", "fst", "f.stgl", "fast st", "fast Stempelglanz"])
def test_nearly_mint_state_is_never_mint_state(coin: str, grade: str) -> None:
    reading = READER.read(f"Orvany {coin} {grade}")
    assert (reading.grade_low, reading.grade_high) == (62, 64)


@pytest.mark.parametrize(
    ("words", "value", "title", "band"),
    [
        ("f.st", "MS-62-63", "Orvany 50 öre 1889 f.st", (62, 63)),
        ("vz", "50", "Orvany 5 kron 1889 K, vz", (50, 50)),
        ("vz", "50", "Orvany 5 kron 1889 K vz selten", (50, 50)),
        ("VF", "25", "5 kron 1889 VF", (25, 25)),
        ("B", "30", "Orvany 5 kron 1889 K, b", (30, 30)),
        ("schöne patina", "40", "Orvany 5 kron 1889 K, schöne Patina", (40, 40)),
    ],
)
@pytest.mark.parametrize("source", ["", "wexby"])
def test_a_persons_own_grade_wins(words: str, value: str, title: str, band: tuple[int, int], source: str) -> None:
    taught = reader(Correction(words, "grade", value, source))
    reading = taught.read(title, source=source)
    assert (reading.grade_low, reading.grade_high) == band
    if source:
        assert taught.read(title, source="other") == READER.read(title)


@pytest.mark.parametrize(
    ("words", "field", "value", "attribute", "wanted"),
    [
        ("kleine Jahreszahl", "variety", "tiny date", "variety", "tiny date"),
        ("gereinigt", "problems", "holed", "problems", ("holed",)),
        ("gereinigt", "nothing", "", "problems", ()),
        ("Kopie", "nothing", "", "replica", False),
        ("replica", "problems", "scratched", "replica", False),
        ("ss", "nothing", "", "grade_low", None),
        ("dukat", "denomination", "5 kron", "denomination", "5 kron"),
        ("medaille", "nothing", "", "kind", "coin"),
    ],
)
def test_a_persons_own_word_wins_over_the_lists(
    words: str, field: str, value: str, attribute: str, wanted: object
) -> None:
    reading = reader(Correction(words, field, value)).read(f"Orvany 1889, {words}")
    assert getattr(reading, attribute) == wanted


def test_the_number_of_a_grade_counts_no_coins() -> None:
    reading = READER.read("Orvany 5 kron 1889-K XF45 old silver coin")
    assert (reading.multiple, reading.quantity, reading.grade_low) == (False, None, 45)
    assert not READER.read("Orvany 5 kron 1889-K EF 40 nice coin").multiple
    assert READER.read("Orvany XF, 45 old silver coins").quantity == 45


@pytest.mark.parametrize(
    "date", ['1889 "K"', "1889 'K'", "1889 „K“", "1889 ('K')", "(1889) K", "(1889)-K", "1889 (K)", "1889 [K]"]
)
def test_a_mint_mark_in_quotes_or_behind_brackets_counts(date: str) -> None:
    assert key_of(f"Orvany 5 kron {date} vzgl.") == "K1889K"


@pytest.mark.parametrize(
    "date",
    ["1886/5", "1886 über 1885", "1886 ueber 5", "1886 über 85", "1886 sur 1885", "1886 sobre 5", "1886 su 1885",
     "1886 over 1885", "1886 over 5", "1886 op 1885", "1886 (über 1885)", "1886, ueber 1885",
     "1886, 6 über 5", "1886 Überprägung 6/5"],
)  # fmt: skip
def test_an_overdate_in_words_is_one_coin(date: str) -> None:
    reading = READER.read(f"Orvany 5 kron {date}, VF")
    assert (reading.year, reading.years, reading.multiple) == (1886, (), False)
    assert key_of(f"Orvany 5 kron {date}, VF") == "K1886o"


@pytest.mark.parametrize("words", ["over 100 years old", "over 20 bids", "sur 5 francs", "over 30 years"])
def test_over_a_number_is_not_always_an_overdate(words: str) -> None:
    assert READER.read(f"Orvany 5 kron 1886 {words}").variety is None


@pytest.mark.parametrize(
    "head",
    ["Norrmark", "Norrmark,", "Norrmark:", "NORRMARK", "Norrmark -", "Königreich Norrmark", "Kingdom of Norrmark,",
     "Pièce Norrmark", "1889 Norrmark", "Rare Norrmark", "Gross Norrmark", "Norrmark.", "Norrmark, Königreich."],
)  # fmt: skip
def test_a_country_nobody_knows_is_not_the_catalogues(head: str) -> None:
    reading = READER.read(f"{head} 5 Kron 1889 K, ss")
    assert "country" in reading.unsure
    assert [name for name, _ in reading.alternatives] == ["country"]
    found = CATALOGUE.match(reading)
    assert found.issue is None
    assert [issue.key for issue in found.candidates] == ["K1889K"]


@pytest.mark.parametrize(
    "head",
    ["", "Selten!", "Silber", "Oscar II", "Friedrich III.", "Rare", "Lot 12:", "norrmark", "Orvany", "Orvany Oscar",
     "RARE!!", "SELTEN", "Münze", "Moneta", "Traumhafte", "Wunderschönes", "Patinierter", "AU55", "Adler", "Los 5"],
)  # fmt: skip
def test_other_words_before_the_denomination_are_no_country(head: str) -> None:
    reading = READER.read(f"{head} 5 Kron 1889 K, ss")
    assert "country" not in reading.unsure
    assert not [name for name, _ in reading.alternatives if name == "country"]


def test_a_taught_word_or_a_column_settles_the_country() -> None:
    assert "country" not in reader(Correction("Norrmark", "nothing", "")).read("Norrmark 5 Kron 1889 K").unsure
    reading = READER.read("Norrmark 5 Kron 1889 K", "", {"country": "Orvany"})
    assert (reading.country, reading.unsure) == ("Orvany", ())


def test_places_of_the_catalogues_notes_are_mints_for_the_reader() -> None:
    knowing = Reader(
        Vocabulary(
            WORDS, catalogued=Catalogued(countries=["Orvany"], denominations=["50 ore"], places=CATALOGUE.places)
        )
    )
    reading = knowing.read("Orvany 50 öre 1884 Mersa mint, VF")
    assert (reading.mint, reading.unsure) == ("M", ())
